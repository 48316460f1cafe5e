//! Words for kinds of gear, as inventories write them.

use crate::domain::Kind;

use super::synonym::{each, plain_words};

/// A kind of gear that was read from a word, and whether the word was it or only ended in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct ReadKind {
    pub(super) kind: Kind,
    pub(super) exact: bool,
    /// Whether it was told from a word that may be another thing's name: "anchor plate", "tape".
    pub(super) unsure: bool,
}

/// The kind that a word names: "Pulleys", "Double pulley", "Carabiner, steel".
///
/// In English the noun stands last, or before a comma or a size: a rescue pulley is a pulley, a rope bag
/// is no rope, and a "rope 11 mm" is one. What is not exact is shown to the person before anything is taken in.
pub(super) fn kind(text: &str) -> Option<ReadKind> {
    let whole = plain_words(text);
    if let Some(kind) = one_kind(&whole) {
        return Some(ReadKind {
            kind,
            exact: true,
            unsure: false,
        });
    }
    let head = text.split([',', '(', ';', ':']).next().unwrap_or_default();
    let words = plain_words(head);
    let words = without_qualifiers(&words);
    let words: Vec<&str> = words.split(' ').collect();
    if is_full_of_others(&words) {
        return None;
    }
    let all = &words;
    let words = own(&words);
    let is_size = |word: &&str| {
        word.starts_with(|c: char| c.is_ascii_digit()) || matches!(*word, "size" | "length")
    };
    if let Some(kind) = back_up(words) {
        return Some(ReadKind {
            kind,
            exact: false,
            unsure: true,
        });
    }
    let noun = words.iter().position(|word| !is_size(word)).unwrap_or(0);
    let size = words[noun..].iter().position(is_size);
    let before = size.map_or(words.len(), |size| noun + size);
    [words.len(), before]
        .into_iter()
        .find_map(|to| {
            (0..to).find_map(|from| {
                let phrase = words[from..to].join(" ");
                let kind = one_kind(&phrase)?;
                // A word that names a kind where it stands alone, behind another word.
                let unsure = from > 0 && says_little(&phrase);
                Some((kind, unsure))
            })
        })
        .or_else(|| Some((mentioned(all)?, false)))
        .map(|(kind, unsure)| ReadKind {
            kind,
            exact: false,
            unsure,
        })
}

/// Whether a phrase names a kind only where it stands alone or last.
fn says_little(phrase: &str) -> bool {
    each(SAYS_LITTLE).any(|word| word == phrase.trim_end_matches('s'))
}

/// A back-up device, whatever it is called behind that: "back-up runner" is no sling. A back-up rope is a rope.
fn back_up(words: &[&str]) -> Option<Kind> {
    let (["back", "up", behind @ ..] | ["backup", behind @ ..]) = words else {
        return None;
    };
    let first = behind.first()?.trim_end_matches('s');
    each(FOLLOWS)
        .any(|one| one == first)
        .then_some(Kind::BackUpDevice)
}

/// What a device that follows on the safety line may be called.
const FOLLOWS: &str = "runner, trailer, follower, slider, slide, glider, grab, clamp, brake, block, unit, catcher, stopper";

/// Whether words name a strop or sling of wire, which is a sling or, by its standard, an anchor device.
pub(super) fn is_wire_strop(text: &str) -> bool {
    let words = plain_words(text);
    let has = |list: &[&str]| {
        words
            .split(' ')
            .any(|word| list.contains(&word.trim_end_matches('s')))
    };
    has(&["strop"]) || (has(&["wire", "steel", "cable"]) && has(&["sling"]))
}

/// Whether words name a device for belaying.
pub(super) fn is_belay(text: &str) -> bool {
    let words = format!(" {} ", plain_words(text));
    words.contains(" belay ") || words.contains(" belaying ")
}

/// The one kind that words speak of, wherever in them: "rescue harness full body" is a harness, but "rope bag" is no rope.
fn mentioned(words: &[&str]) -> Option<Kind> {
    /// How many words the name of a thing has at most.
    const LONGEST: usize = 5;
    let padded = format!(" {} ", words.join(" "));
    if each(NO_GEAR).any(|other| padded.contains(&format!(" {other} "))) {
        return None;
    }
    let words = own(words);
    let mut found = Vec::new();
    let mut from = 0;
    while from < words.len() {
        let most = LONGEST.min(words.len() - from);
        let named = (1..=most).rev().find_map(|length| {
            let phrase = words[from..from + length].join(" ");
            Some((one_kind(&phrase).filter(|_| !says_little(&phrase))?, length))
        });
        from += named.map_or(1, |(_, length)| length);
        found.extend(named.map(|(kind, _)| kind));
    }
    let first = *found.first()?;
    found.iter().all(|kind| *kind == first).then_some(first)
}

/// Whether words speak of what other things lie in: "bag of carabiners".
fn is_full_of_others(words: &[&str]) -> bool {
    let holds = |word: &str| {
        matches!(
            word.trim_end_matches('s'),
            "bag" | "box" | "case" | "pouch" | "sack" | "rucksack"
        )
    };
    words
        .windows(2)
        .any(|pair| holds(pair[0]) && pair[1] == "of")
}

/// The words before "with", "for" and the like: what stands behind these is another thing, or a part of it.
fn own<'a, 'b>(words: &'a [&'b str]) -> &'a [&'b str] {
    let mut each = words.iter();
    let behind = each.position(|word| {
        matches!(
            *word,
            "for" | "with" | "w" | "incl" | "including" | "für" | "mit" | "ohne" | "without"
        )
    });
    &words[..behind.unwrap_or(words.len())]
}

/// Words for things beside the gear that name a piece of gear in front of them.
const NO_GEAR: &str = "bag, bags, sack, case, box, protector, protectors, protection, cover, pouch, cutter, knife, lamp, \
     light, torch, headlamp, tag, tags, label, labels, log, book, manual, pad, roller, rollers, glove, gloves, cleaner, \
     holder, marker, winch, guard, dummy, manikin, poster, kit, set, rope lock, strap, straps, hobble, hobbles, bridle, \
     bridles, spare part, spare parts";

/// Words that name a kind where they stand alone or last, and may be anything in the middle of others.
const SAYS_LITTLE: &str = "line, tape, hook, block, plate, anchor, grab, clamp, brake, back up, webbing, web, rack, hanger, \
     runner, eight, bobbin";

/// The words without those behind the noun that say which one it is: "carabiner triple lock", "harness kids".
fn without_qualifiers<'a>(words: &'a str) -> &'a str {
    let mut words = words;
    let before = |words: &'a str, phrase: &str| words.strip_suffix(phrase)?.strip_suffix(' ');
    while let Some(front) = each(QUALIFIERS).find_map(|phrase| before(words, phrase)) {
        words = front;
    }
    words
}

/// Words that stand behind the name of a thing and name none themselves.
const QUALIFIERS: &str = "auto lock, autolock, triple lock, triple action, twist lock, screw lock, screw gate, screwgate, \
     locking, non locking, single, double, triple, steel, stainless, alloy, aluminium, aluminum, left, \
     right, left hand, right hand, kids, adult, small, medium, large, spare, new, old, red, blue, green, \
     yellow, black, white, orange, canvas, leather, rubber, dyn rope, dynamic rope, dyn, thin, thick, \
     prusik minding, alu, hinged, velcro";

fn one_kind(words: &str) -> Option<Kind> {
    let known = |words: &str| {
        Kind::from_word(words).or_else(|| {
            let also = ALSO
                .iter()
                .find(|(_, others)| each(others).any(|other| other == words));
            also.map(|(kind, _)| *kind)
        })
    };
    let without = |ending: &str| words.strip_suffix(ending).and_then(known);
    known(words)
        .or_else(|| without("s"))
        .or_else(|| without("es"))
}

/// Words of the trade beside those that the kinds know themselves; common practice, no source.
const ALSO: &[(Kind, &str)] = &[
    (
        Kind::Rope,
        "rope, line, kernmantle rope, guide line, guideline, tag line, lifeline, life line, mainline, handline, tagline, throwline, seil, statikseil, \
         kernmantelseil, dynamikseil",
    ),
    (
        Kind::Cord,
        "prusik, prusik loop, prusik cord, prussik, prussik loop, prusic, prusic loop, accessory cord, cordelette, \
         cordlette, hitch cord, hitch loop, friction cord, friction loop, reepschnur, prusikschlinge",
    ),
    (
        Kind::Pulley,
        "pulley block, snatch block, sheave block, pmp, pcp, progress capture pulley, prusik minding pulley, seilrolle, umlenkrolle, einfachrolle, \
         doppelrolle, doppelseilrolle, doppelumlenkrolle, zweifachrolle, dreifachrolle, vierfachrolle, poulie simple, \
         poulie double, poulie bloqueuse, poulie",
    ),
    (
        Kind::RopeClamp,
        "rope clamp, rope grab, hand ascender, chest ascender, foot ascender, handled ascender, jammer, hand jammer, \
         chest jammer, rope adjuster, hand clamp, chest clamp, foot clamp, seilklemme, steigklemme, handsteigklemme, \
         bruststeigklemme",
    ),
    (
        Kind::Connector,
        "krab, biner, beaner, karabiner, carabiner, quick link, quicklink, screw link, screwed link, delta link, \
         oval link, tri link, snap hook, snaphook, scaffold hook, hook, shackle, bow shackle, d shackle, hms, karabinerhaken, \
         schraubkarabiner, schraubglied, schäkel",
    ),
    (
        Kind::Descender,
        "descent device, descent control device, dcd, friction device, figure eight, figure 8, fig 8, rescue eight, \
         rescue 8, rack, rap rack, rappel rack, abseil rack, brake rack, brake bar rack, bar rack, brake tube, bobbin, \
         abseil device, rappel device, belay device, belay plate, belay tube, lowering device, abseilgerät, \
         abseilachter",
    ),
    (
        Kind::BackUpDevice,
        "back up device, backup device, backup, fall arrester, fall arrestor, fall arrest device, mobile fall arrester, \
         mobile fall arrest device",
    ),
    (
        Kind::Sling,
        "tape sling, web sling, webbing sling, sewn sling, round sling, roundsling, runner, wire sling, chain sling, \
         wire strop, steel strop, hobble strap, tripod hobble strap, tape, tubular webbing, web, webbing loop, bandschlinge, rundschlinge",
    ),
    (
        Kind::Lanyard,
        "energy absorber, shock absorber, shock pack, cow s tail, cows tail, cowstail, verbindungsmittel, \
         falldämpfer, bandfalldämpfer",
    ),
    (
        Kind::Harness,
        "full body harness, sit harness, chest harness, rescue triangle, evacuation triangle, evac triangle, \
         auffanggurt, rettungsgurt, sitzgurt, rettungsdreieck",
    ),
    (
        Kind::AnchorDevice,
        "anchor device, anchor strap, anchor sling, anchor clamp, rail clamp, rail clamp anchor, beam clamp anchor, anchor plate, anchor bolt, anchor chain, beam clamp, beam anchor, \
         beam strap, tree strap, bolt hanger, hanger, eye bolt, eyebolt, ground anchor, door anchor",
    ),
    (
        Kind::Litter,
        "stretcher, basket stretcher, basket litter, rescue basket, stokes, stokes basket, korbtrage, \
         schleifkorbtrage, rettungstrage",
    ),
    (
        Kind::Tripod,
        "davit arm, a frame, bipod, monopod, gin pole, artificial high directional, high directional, ahd, dreibein, \
         dreibock",
    ),
    (Kind::Helmet, "hard hat, hardhat, schutzhelm"),
    (
        Kind::RiggingPlate,
        "rigging plate, anchor rigging plate, rig plate",
    ),
    (Kind::Swivel, "swivel connector, wirbel"),
    (
        Kind::EdgeProtector,
        "edge guard, edge mat, edge cover, edge sleeve, edge roller set, edge rollers set, edge protector set, roller set, \
         rope protector, rope protection, rope guard, rope sleeve, corner protector, corner roller, kantenschutz, \
         kantenrolle, seilschutz",
    ),
    (
        Kind::OtherEquipment,
        "bag, haul bag, rucksack, backpack, pouch, cutter, knife, shears, headlamp, headtorch, head torch, torch, lamp, \
         glove, rope cleaner, manikin, log book, logbook, first aid kit, medical kit, trauma kit, gas meter, gas \
         detector, gas monitor, radio, whistle, goggles, knee pads, ear defenders, blower, tarpaulin, tarp, blanket, \
         rescue tool, multi tool, tape measure, load cell, dynamometer, seilsack, rucksack",
    ),
];

#[cfg(test)]
mod tests {
    use super::kind;
    use crate::domain::Kind;

    #[test]
    fn words_of_the_trade_are_read() {
        for (text, read) in [
            ("Rescue harness full body", Kind::Harness),
            ("Shock absorber lanyard", Kind::Lanyard),
            ("Stretcher, 2 parts", Kind::Litter),
            ("krab HMS steel", Kind::Connector),
            ("Quick link 8mm oval zinc", Kind::Connector),
            ("Locking biners", Kind::Connector),
            ("Rap rack 6 bar", Kind::Descender),
            ("Figure 8 w/ ears", Kind::Descender),
            ("Hand ascender L", Kind::RopeClamp),
            ("Rope grab 11mm", Kind::RopeClamp),
            ("Prussik loop 8 mm x 1.5", Kind::Cord),
            ("Anchor strap 1.5m w/ D-rings", Kind::AnchorDevice),
            ("A-frame legs", Kind::Tripod),
            ("Full body harness with lanyard", Kind::Harness),
            ("Static rope white 10.5 drum", Kind::Rope),
            (
                "Releasable double pulley with progress capture",
                Kind::Pulley,
            ),
            ("Pulley swing-cheek single", Kind::Pulley),
            ("Umlenkrolle mit Rücklaufsperre", Kind::Pulley),
            ("Karabiner mit Schraubverschluss", Kind::Connector),
            ("Pulley without becket", Kind::Pulley),
            ("Edge protection canvas", Kind::EdgeProtector),
            ("Tripod hobble straps (set 2)", Kind::Sling),
            ("Anchor clamp for beams", Kind::AnchorDevice),
            ("Lanyard dyn. rope", Kind::Lanyard),
            ("Back-up runner", Kind::BackUpDevice),
            ("Back-up rope 11 mm", Kind::Rope),
            ("Back-up sling", Kind::Sling),
            ("Dynamic rope", Kind::Rope),
            ("Pulley single prusik-minding", Kind::Pulley),
            ("PCP small w/ cam", Kind::Pulley),
            ("Edge protector alu hinged", Kind::EdgeProtector),
            ("Load cell", Kind::OtherEquipment),
            ("Tag line thin", Kind::Rope),
            ("Edge rollers (set of 4)", Kind::EdgeProtector),
            ("Rope protector 60 cm", Kind::EdgeProtector),
            ("Rope bag 40 litres", Kind::OtherEquipment),
            ("First aid kit", Kind::OtherEquipment),
            ("Harness kit bag", Kind::OtherEquipment),
            ("Gas meter", Kind::OtherEquipment),
        ] {
            assert_eq!(kind(text).map(|found| found.kind), Some(read), "{text}");
        }
    }

    #[test]
    fn a_strop_or_a_sling_of_wire_is_one() {
        for text in ["Wire strop", "steel slings", "Strop 1 m", "Wire rope sling"] {
            assert!(super::is_wire_strop(text), "{text}");
        }
        for text in ["Sling", "Tape sling", "Wire rope", "Anchor sling"] {
            assert!(!super::is_wire_strop(text), "{text}");
        }
    }

    #[test]
    fn what_speaks_of_two_kinds_or_of_none_is_none() {
        for text in [
            "Tripod winch",
            "Helmet lamp holder",
            "Karabiner light",
            "Bag of karabiners",
            "Tripod straps",
            "Stretcher bridle, 4 legs",
            "Litter bridle",
            "Bridle",
            "Pulley and carabiner combo",
        ] {
            assert_eq!(kind(text), None, "{text}");
        }
    }
}
