//! Photos and documents: the form, one of them, its withdrawal, and the part of a page that shows what a record bears.

use askama::Template;

use super::{
    Shell,
    form::Form,
    part::{Answer, Facts, Tone, html_parts},
};
use crate::domain::{
    AttachedTo, Attachment, AttachmentId, AttachmentKind, FieldErrors, KeptFile, LARGEST_UPLOAD,
    MOST_FILES, MediaType, date::write_day, size_words,
};

/// The page of the record that bears it.
pub fn page(to: AttachedTo) -> String {
    match to {
        AttachedTo::Item { item } | AttachedTo::Event { item, .. } => format!("/items/{item}"),
        AttachedTo::Model { model } => format!("/models/{model}"),
        AttachedTo::Examination { item, examination } => {
            format!("/items/{item}/examinations/{examination}")
        }
    }
}

/// The record, as the addresses of the form name it.
fn query(to: AttachedTo) -> String {
    match to {
        AttachedTo::Item { item } => format!("item={item}"),
        AttachedTo::Model { model } => format!("model={model}"),
        AttachedTo::Examination { examination, .. } => format!("examination={examination}"),
        AttachedTo::Event { event, .. } => format!("event={event}"),
    }
}

/// Where something is put on the record.
pub fn add_href(to: AttachedTo) -> String {
    format!("/attachments/new?{}", query(to))
}

fn file_href(id: AttachmentId, file: &KeptFile) -> String {
    let ending = match file.media_type {
        MediaType::Jpeg => "jpg",
        MediaType::Pdf => "pdf",
    };
    format!("/attachments/{id}/{}.{ending}", file.sha256)
}

/// One photo among others.
#[derive(Clone, Debug)]
struct Shot {
    href: String,
    source: String,
    width: u32,
    height: u32,
    caption: String,
    aside: String,
}

/// One document among others.
#[derive(Clone, Debug)]
struct Paper {
    href: String,
    file: String,
    caption: String,
    what: String,
    aside: String,
}

/// What a record bears, for its page.
#[derive(Clone, Debug, Template)]
#[template(path = "attachment/gallery.html")]
pub struct Gallery {
    photos: Vec<Shot>,
    papers: Vec<Paper>,
    add: Option<String>,
    empty: &'static str,
    /// Said where more are there than shown.
    more: Option<String>,
}

html_parts!(Gallery);

impl Gallery {
    /// What is shown, each with what stands below it: from when it is, or from which look. `add` is where one puts
    /// something on the record.
    pub fn new(shown: &[(Attachment, String)], add: Option<String>) -> Self {
        let mut gallery = Self {
            photos: Vec::new(),
            papers: Vec::new(),
            add,
            empty: "None is on its record.",
            more: None,
        };
        for (one, aside) in shown {
            gallery.push(one, aside);
        }
        gallery
    }

    /// The same for one record, each with the day on which it was put there.
    pub fn of_record(shown: &[Attachment], add: Option<String>) -> Self {
        let shown = shown.iter().filter(|one| one.withdrawn.is_none());
        let shown = shown.map(|one| (one.clone(), format!("added {}", write_day(one.on))));
        Self::new(&shown.collect::<Vec<_>>(), add)
    }

    /// Says that there are more than are shown, and where.
    #[must_use]
    pub fn with_more(mut self, more: Option<String>) -> Self {
        self.more = more;
        self
    }

    fn push(&mut self, one: &Attachment, aside: &str) {
        let href = format!("/attachments/{}", one.id);
        let small = one.thumbnail.as_ref().unwrap_or(&one.file);
        match (one.kind, small.pixels) {
            (AttachmentKind::Photo, Some(pixels)) => self.photos.push(Shot {
                href,
                source: file_href(one.id, small),
                width: pixels.width,
                height: pixels.height,
                caption: one.caption.clone(),
                aside: aside.to_owned(),
            }),
            _ => self.papers.push(Paper {
                href,
                file: file_href(one.id, &one.file),
                caption: one.caption.clone(),
                what: format!("{}, PDF, {}", one.name, size_words(one.file.bytes)),
                aside: aside.to_owned(),
            }),
        }
    }

    /// A part to test pages with.
    pub(super) fn sample() -> Self {
        let [photo, paper] = samples();
        let add = add_href(photo.to);
        let shown = [(photo, super::PROBE.to_owned()), (paper, String::new())];
        Self::new(&shown, Some(add)).with_more(Some("/history".to_owned()))
    }
}

/// A photo and a document to test pages with.
fn samples() -> [Attachment; 2] {
    use super::{PROBE, gear};
    use crate::domain::{AttachmentDraft, FileHash, PersonId, Pixels, Received};
    let item = gear::item().id;
    let one = |kind, media_type, pixels| {
        let file = KeptFile {
            sha256: FileHash::of(b"a photo"),
            media_type,
            bytes: 123_456,
            pixels,
        };
        let received = Received {
            kind,
            thumbnail: pixels.map(|_| file.clone()),
            file,
        };
        let draft = AttachmentDraft {
            caption: PROBE.to_owned(),
            name: PROBE.to_owned(),
        };
        let id = AttachmentId(uuid::Uuid::nil());
        let who = (PersonId(uuid::Uuid::nil()), gear::TODAY);
        let to = AttachedTo::Item { item };
        draft
            .check(id, to, who, received)
            .expect("the sample's fields hold")
    };
    let pixels = Pixels {
        width: 480,
        height: 360,
    };
    [
        one(AttachmentKind::Photo, MediaType::Jpeg, Some(pixels)),
        one(AttachmentKind::Document, MediaType::Pdf, None),
    ]
}

/// The form.
#[derive(Template)]
#[template(path = "attachment/new.html")]
pub struct NewAttachment {
    /// The frame.
    pub shell: Shell,
    form: Form,
    back: String,
    name: String,
    action: String,
    what: String,
    limits: String,
    caption: String,
}

impl NewAttachment {
    /// The form for a record, which goes by a name, with the caption that was typed.
    pub fn new(
        shell: Shell,
        id: AttachmentId,
        (to, name): (AttachedTo, &str),
        caption: &str,
        wrong: &FieldErrors,
    ) -> Self {
        Self {
            form: Form::new(wrong).failed("Nothing was recorded"),
            back: shell.back_or(page(to)),
            name: if shell.back.is_some() {
                "Back".to_owned()
            } else {
                name.to_owned()
            },
            action: shell.keeping_back(format!("/attachments?{}&id={id}", query(to))),
            shell,
            what: to.words(name),
            limits: limits(wrong),
            caption: caption.to_owned(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let [photo, _] = samples();
        let wrong = FieldErrors::one("files", "file", PROBE);
        let page = |wrong: &FieldErrors| {
            let shell = Shell::sample("Add photos");
            Self::new(shell, photo.id, (photo.to, PROBE), PROBE, wrong)
        };
        vec![page(&FieldErrors::default()), page(&wrong)]
    }
}

/// What may be sent, and that a browser forgets which files were chosen.
fn limits(wrong: &FieldErrors) -> String {
    let again = if wrong.is_empty() {
        ""
    } else {
        " Choose them again: a browser does not keep what was chosen."
    };
    format!(
        "Photos as JPEG, PNG or WebP, documents as PDF; up to {MOST_FILES} at once, {} together.{again}",
        size_words(LARGEST_UPLOAD)
    )
}

/// One photo or document.
#[derive(Template)]
#[template(path = "attachment/show.html")]
pub struct ShowAttachment {
    /// The frame.
    pub shell: Shell,
    back: String,
    name: String,
    withdrawn: Option<Answer>,
    photo: Option<(String, u32, u32)>,
    file: Option<String>,
    caption: String,
    facts: Facts,
    withdraw: Option<String>,
}

impl ShowAttachment {
    /// The page of a photo or document, with the names of what bears it and of whoever put it there, and whether this
    /// person may withdraw it.
    pub fn new(
        shell: Shell,
        shown: &Attachment,
        (name, by): (&str, &str),
        may_withdraw: bool,
    ) -> Self {
        let file = file_href(shown.id, &shown.file);
        let there = shown.withdrawn.is_none();
        let pixels = shown.file.pixels.filter(|_| there);
        Self {
            shell,
            back: page(shown.to),
            name: name.to_owned(),
            withdrawn: shown.withdrawn.as_ref().map(|end| {
                let words = format!("Withdrawn on {}", write_day(end.on));
                Answer::new(Tone::Out, words).why(end.reason.clone())
            }),
            photo: pixels.map(|pixels| (file.clone(), pixels.width, pixels.height)),
            file: there.then_some(file),
            caption: shown.caption.clone(),
            facts: facts(shown, name, by),
            withdraw: may_withdraw.then(|| format!("/attachments/{}/withdraw", shown.id)),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let page =
            |shown: &Attachment| Self::new(Shell::sample("Photo"), shown, (PROBE, PROBE), true);
        let [photo, paper] = samples();
        let end = crate::domain::AttachmentEnd {
            on: gear::TODAY,
            by: photo.by,
            reason: PROBE.to_owned(),
        };
        vec![page(&photo), page(&paper), page(&photo.clone().ended(end))]
    }
}

fn facts(shown: &Attachment, name: &str, by: &str) -> Facts {
    let pixels = shown.file.pixels;
    let pixels = pixels.map(|pixels| format!(", {} x {} pixels", pixels.width, pixels.height));
    let size = format!(
        "{}{}",
        size_words(shown.file.bytes),
        pixels.unwrap_or_default()
    );
    let kept = match shown.kind {
        AttachmentKind::Photo => {
            "of the photo as it is kept: made smaller, and without where and when it was taken"
        }
        AttachmentKind::Document => "of the document as it was sent",
    };
    Facts::default()
        .and("On", shown.to.words(name))
        .and("Added", write_day(shown.on))
        .and("By", by)
        .and("File", shown.name.as_str())
        .and("Size", size)
        .and_from("SHA-256", shown.file.sha256.as_str(), kept)
}

/// Asks why something is withdrawn.
#[derive(Template)]
#[template(path = "attachment/withdraw.html")]
pub struct WithdrawAttachment {
    /// The frame.
    pub shell: Shell,
    form: Form,
    back: String,
    action: String,
    name: String,
    kind: &'static str,
    caption: String,
    reason: String,
}

impl WithdrawAttachment {
    /// The form for a photo or document on a record, which goes by a name.
    pub fn new(
        shell: Shell,
        shown: &Attachment,
        name: &str,
        reason: &str,
        wrong: &FieldErrors,
    ) -> Self {
        let back = format!("/attachments/{}", shown.id);
        Self {
            shell,
            form: Form::new(wrong),
            action: format!("{back}/withdraw"),
            back,
            name: name.to_owned(),
            kind: shown.kind.word(),
            caption: shown.caption.clone(),
            reason: reason.to_owned(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let [photo, _] = samples();
        let wrong = FieldErrors::one("reason", "required", PROBE);
        let shell = Shell::sample("Withdraw a photo");
        vec![Self::new(shell, &photo, PROBE, PROBE, &wrong)]
    }
}
