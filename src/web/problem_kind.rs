//! The kinds of problem, as `/problem/{kind}` explains them.

use super::Problem;

impl Problem {
    /// Every kind: its word, its title, and what to do about it.
    pub const KINDS: [(&'static str, &'static str, &'static str); 23] = [
        (
            "not-found",
            "Not found",
            "There is no such thing, or it belongs to another team. Check the address.",
        ),
        (
            "wrong-method",
            "Wrong kind of request",
            "The address takes other methods. Look it up in the description of the API.",
        ),
        (
            "unreadable",
            "Cannot be read",
            "What was sent is broken where the detail says. Mend it and send it again.",
        ),
        (
            "too-large",
            "Too large",
            "Send less at once; the detail names the limit.",
        ),
        (
            "wrong-kind",
            "Wrong kind of content",
            "Send the content in the form that the detail names.",
        ),
        (
            "invalid",
            "Some fields do not hold",
            "Every field that does not hold is listed with a stable code and a sentence. Mend them and send all again; nothing was kept.",
        ),
        (
            "not-allowed",
            "Not possible in this state",
            "The record is in a state that does not allow this step. The detail says which step is open.",
        ),
        (
            "refused",
            "Refused",
            "The item may not go on the job. Every reason is listed with its rule. There is no override: mend the record or take another item.",
        ),
        (
            "stale",
            "Changed by somebody else",
            "Somebody saved first. Read the record again and repeat the change.",
        ),
        (
            "there",
            "There already",
            "If-None-Match asked for it to be made only where it is not. Read what is there, or send it without that header.",
        ),
        (
            "needs-mark",
            "If-Match is missing",
            "Send the ETag of the record that you change, so that nobody else's change is lost.",
        ),
        (
            "sign-in",
            "Not signed in",
            "Sign in, or show a token as a bearer.",
        ),
        (
            "link-over",
            "This link is over",
            "The link of an outside auditor lets in on its days alone, and not once it was withdrawn. The detail says which it is. Ask the team for another, or open the address again where only the sitting is over.",
        ),
        (
            "forbidden",
            "Not yours to do",
            "Your role does not allow this. Ask somebody who may.",
        ),
        (
            "too-many",
            "Too many attempts",
            "Wait as long as Retry-After says, then try again.",
        ),
        (
            "busy",
            "Busy",
            "The server is busy. Nothing was saved; try again in a few seconds.",
        ),
        (
            "away",
            "The database does not answer",
            "It comes back by itself once the database does. What was sent last may be saved or not: look, or send it again under the same id; what is sent twice is kept once.",
        ),
        (
            "full",
            "The disk is full",
            "Nothing of it was saved, and what is there can be read. Whoever runs the server makes room; then send it again.",
        ),
        (
            "no-storage",
            "No storage of files",
            "The records are there, but the storage of photos and documents is not, or does not answer. Nothing was recorded; try again, and tell whoever runs the server.",
        ),
        (
            "file-lost",
            "File lost or changed",
            "The storage of photos and documents does not hold this file any more, or holds other bytes than were put on the record under its hash. Whoever runs the server looks for it in a backup.",
        ),
        (
            "no-room",
            "No room for temporary files",
            "A workbook takes temporary files, and the server has no folder with room for them. Take CSV or JSON Lines; whoever runs the server names a folder in TMPDIR.",
        ),
        (
            "slow",
            "Took too long",
            "It was stopped, and may be saved or not: look, or send it again under the same id, with less at once. What is sent twice is kept once.",
        ),
        (
            "internal",
            "Our failure",
            "Something went wrong on our side. Name the number of the incident to whoever runs the server.",
        ),
    ];
}
