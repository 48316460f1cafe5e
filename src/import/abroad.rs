//! German and French headings; common practice, no source. What may mean two fields is not here, and is asked.

use super::field::Field;
use crate::rigging::StrengthKind;

/// Each field with the phrases that name it.
pub(super) const HEADINGS: &[(Field, &str)] = &[
    (
        Field::Mark,
        "inventarnummer, inventarnr, inventar nr, inv nr, numéro d inventaire, n d inventaire, repère",
    ),
    (Field::Kind, "geräteart, gerätetyp, genre de matériel"),
    (Field::Maker, "hersteller, fabrikat, fabricant, marque"),
    (
        Field::Model,
        "modell, modellbezeichnung, produktname, modèle, nom du produit",
    ),
    (
        Field::Serial,
        "seriennummer, seriennr, serien nr, serien nummer, numéro de série, n de série",
    ),
    (
        Field::Lot,
        "chargennummer, chargen nr, charge nr, losnummer, numéro de lot, n de lot",
    ),
    (
        Field::Made,
        "hergestellt, herst, herstellungsdatum, herstelldatum, herstelljahr, baujahr, fabriqué, date de fabrication, \
         année de fabrication",
    ),
    (
        Field::Bought,
        "gekauft, kaufdatum, anschaffung, date d achat",
    ),
    (
        Field::FirstUsed,
        "inbetriebnahme, erste benutzung, erstbenutzung, mise en service, première utilisation",
    ),
    (
        Field::Store,
        "ort, lagerort, standort, lager, emplacement, lieu",
    ),
    (
        Field::LastExamined,
        "letzte prüfung, zuletzt geprüft, geprüft am, prüfdatum, dernier contrôle, dernière vérification, date de contrôle",
    ),
    (
        Field::NextDue,
        "nächste prüfung, prüfung fällig, prochain contrôle, prochaine vérification",
    ),
    (
        Field::Examiner,
        "prüfer, geprüft von, contrôlé par, vérifié par",
    ),
    (Field::Verdict, "ergebnis, prüfergebnis, résultat"),
    (Field::State, "zustand, état"),
    (
        Field::Note,
        "bemerkung, bemerkungen, anmerkung, anmerkungen, notiz, remarque, remarques",
    ),
    (Field::Standard, "normen, norme, normes"),
    (Field::RatedLoad, "nennlast, charge nominale"),
    (
        Field::Strength(StrengthKind::Breaking, None),
        "bruchlast, bruchkraft, charge de rupture",
    ),
    (
        Field::RopeRange,
        "seilbereich, für seil, pour corde, pour cordes",
    ),
    (
        Field::Attribute("diameter"),
        "durchmesser, diamètre, seildurchmesser",
    ),
    (Field::Attribute("length"), "länge, seillänge, longueur"),
    (Field::Attribute("sheaves"), "anzahl rollen, rollenzahl"),
    (Field::Attribute("efficiency"), "wirkungsgrad, rendement"),
];
