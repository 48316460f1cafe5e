//! The phrases by which people name fields above their columns.

use super::field::Field;

/// Other words for attributes, by their key.
pub(super) const ATTRIBUTES: &[(&str, &str)] = &[
    (
        "diameter",
        "dia, diam, rope diameter, thickness, ø, rope dia, rope diam, rope ø, nominal dia, nom dia, \
         nom diameter, nominal diam, cord dia, cord diameter",
    ),
    (
        "length",
        "length now, present length, rope length, current length, len, rope len, lgth, lnth, present \
         len, current len, length present",
    ),
    (
        "length-new",
        "original length, new length, length as new, length at purchase, orig length, len new, new \
         len, orig len, length when bought, initial length",
    ),
    (
        "mass-per-metre",
        "mass per meter, weight per metre, weight per meter, wt per m, weight g m, mass g m, wt g m, \
         linear mass, grams per metre, grams per meter",
    ),
    ("elongation", "elong, static elongation, elongation static"),
    ("fibre", "fiber, fibre material, fiber material"),
    ("rope-kind", "rope type, kind of rope, type of rope"),
    (
        "one-way-sheave",
        "sheave turns only one way, sheave turns only one way it stands still when rope is let out, one way sheave",
    ),
    (
        "sheaves",
        "sheave count, no of sheaves, number of wheels, wheels, sheaves no, nr of sheaves, number \
         sheaves, sheave no, no sheaves",
    ),
    (
        "efficiency",
        "eff, sheave efficiency, pulley efficiency, efficiency of sheave, sheave eff, pulley eff",
    ),
    (
        "locking",
        "gate type, lock, lock type, locking type, locking kind, gate lock, gate locking, lock \
         mechanism, locking mechanism, gate mechanism",
    ),
    ("connector-class", "connector class"),
    ("capture", "progress capture pulley, captures progress"),
    (
        "users",
        "number of users, max users, maximum users, persons at once, no of users, nr of users",
    ),
    (
        "last-proof",
        "proof load, last proof test, last proof load, proof tested to, proof test load",
    ),
    ("made-how", "sewn or knotted"),
];

/// Headings above words that describe an item, and that are no field of their own.
pub(super) const DESCRIPTIONS: &str = "description, desc, descr, item description, equipment description, gear description, description \
     of item, description of equipment, designation, details, item details, item, item name, name, article, what, \
     what is it, what it is, bezeichnung, beschreibung, désignation";

/// The words for each field, as [`plain_words`](super::synonym::plain_words) gives them.
pub(super) const SYNONYMS: &[(Field, &str)] = &[
    (
        Field::Mark,
        "mark, our mark, item mark, id, id no, id number, item id, gear id, unique id, kit id, \
         identification, identifier, tag, tag no, tag number, tag id, asset, asset id, asset no, \
         asset number, asset tag, register no, register number, register id, register, reg no, \
         inventory no, inventory number, inventory id, item no, item number, equipment no, equipment \
         id, equipment number, gear no, gear number, reference, ref, ref no, code, item code, \
         barcode, asset nr, tag nr, inv no, inv nr, id range, id nos, id numbers, ids, marks, mark range, tags, \
         tag range, tag nos, asset nos, our marks, inventory nos, inventory nr, equip no, equip id, equip nr, eqpt \
         no, equipment nr, unique ref, unique reference, team mark, our ref, our no, our number, our nr, own no, own number, own nr, our id, our code, team no, \
         team number, section no, section number",
    ),
    (
        Field::Kind,
        "kind, type, item type, gear type, equipment type, kind of gear, type of gear, item kind, \
         category, item category, type of equipment, gear, equipment, gear kind, equip type, eqpt \
         type, type of kit, kit type",
    ),
    (
        Field::Maker,
        "maker, manufacturer, make, mfr, mfg, manufactured by, made by, brand, manufacturer name, \
         mfgr, manuf, manufr, mnfr, mfr name, maker name, mfd by, mfr by",
    ),
    (
        Field::Model,
        "model, product, model name, product name, model no, model number, maker s name, make s \
         model, model nr, model type, mfr model, mfg model, manufacturer model, manufacturer s model, \
         maker s model, make and model, make model, maker and model, maker model, manufacturer and model, \
         type name, type designation, model designation, name on it, name on the item, name printed on it, what it is called, maker s name for it, \
         mfg model no, make type, product type, product no, \
         product code",
    ),
    (
        Field::Serial,
        "serial, serial no, serial number, serial nr, s n, sn, ser no, maker s serial, manufacturer \
         serial, manufacturer s serial number, serial id, ser nr, ser number, serial num, ser num, \
         serial code, mfr serial, mfr serial no, mfr serial number, mfr s n, mfr sn, mfr ser no, mfrs \
         serial, mfrs serial no, mfrs s n, mfg serial, mfg serial no, mfg s n, mfg sn, maker serial, \
         maker serial no, maker serial number, maker s serial no, maker s serial number, maker s n, \
         maker s s n, manuf serial, manuf serial no, manuf s n, manufacturer serial no, manufacturer \
         serial number, manufacturer s serial, manufacturer s serial no, manufacturer s n, \
         manufacturers serial, manufacturers serial no, manufacturers serial number, serial batch, serial or batch, \
         number stamped on it, number stamped, stamped number, stamped no, number on it, no on it, number engraved, \
         engraved number, engraved no, number punched in, number from the maker, maker s number, maker s no, \
         maker number, number on the label, number on label, serial no batch, serial number batch, serial lot, serial or lot, batch serial, lot serial, serial no lot, \
         serial number or batch, serial number or lot, serial batch no, s n batch, sn batch",
    ),
    (
        Field::Lot,
        "lot, batch, lot no, lot number, batch no, batch number, lot batch, lot or batch, batch lot, \
         lot batch no, batch lot no, lot nr, batch nr, batch code, lot code, mfr batch, mfr batch no, \
         mfr lot, mfr lot no",
    ),
    (
        Field::Made,
        "made, made on, date made, manufactured, manufactured on, date of manufacture, manufacture \
         date, manufacturing date, date manufactured, mfg date, mfd, dom, production date, date of \
         production, produced, year of manufacture, year made, month made, manufacture year, month of \
         manufacture, year, d o m, date of mfr, date of mfg, date of manuf, date mfd, date mfr, date \
         mfg, mfr date, mfr year, mfg year, mfd date, mfd on, manuf date, manuf year, manufactured \
         date, manufactured year, year of mfr, year of mfg, yr of mfr, yr of manufacture, yr made, \
         yr, yom, y o m, month of mfr, month manufactured, year manufactured, prod date, production \
         year, build date, date built, year built, built, built on, built in, date of build, constructed",
    ),
    (
        Field::Quantity,
        "quantity, qty, qnty, quant, no of items, number of items, pieces, pcs, how many, no off, \
         number off, count, amount",
    ),
    (
        Field::Bought,
        "bought, bought on, date bought, day bought, purchased, purchase date, date of purchase, date \
         purchased, acquired, date acquired, received, date received, purchased on, purch date, date \
         purch, date purchased on, bought date, buy date, acquisition date, date of acquisition, \
         invoice date, date of invoice, invoice, invoiced, invoiced on, paid on, date paid, delivery date, date delivered, delivered, received on, date of receipt",
    ),
    (
        Field::FirstUsed,
        "first used, first use, first used on, date first used, date of first use, day of first use, \
         first use date, in service since, in service from, in service date, in service, date in \
         service, in use since, put into service, put in service, date put into service, into \
         service, commissioned, date of commissioning, 1st use, 1st used, date 1st used, date of 1st \
         use, 1st use date, first used date, dofu, d o f u, date into service, date put in service, \
         date placed in service, placed in service, placed into service, date entered service, \
         entered service, date in use, in use from, in use date, into use, date into use, put into \
         use, date put into use, date of entry into service, into service date, svc date, in svc \
         date, in svc, in svc since, date in svc, date into svc, into svc, in serv date",
    ),
    (
        Field::Store,
        "store, location, place, storage place, place of storage, where kept, kept, kept at, kept in, where, storage, storage location, stored at, \
         stored in, standing at, standing at place, stands at, standing in, kept where, where it is, where it is kept, \
         where it lives, where is it, lives in, lives at, home place, bay, base, depot, home location, home, station, loc, storage loc, store location, \
         stores location, stowage, stowed in, stowed at, locker, vehicle",
    ),
    (
        Field::LastExamined,
        "last examined, last examination, last exam, last inspection, last inspected, last check, \
         last checked, examined, examined on, inspected, inspected on, date examined, date inspected, \
         date of last examination, date of last inspection, last examination date, last inspection \
         date, last examined on, last inspected on, date last examined, date last inspected, \
         inspection date, examination date, last thorough examination, day last examined, last insp, \
         checked, insp date, last insp date, date last insp, date of last insp, date of last exam, \
         last exam date, date last exam, exam date, insp on, last insp on, date insp, date of insp, \
         date of inspection, date of exam, date of examination, last check date, date last checked, last loler, last loler inspection, last loler examination, \
         check done, checks done, inspection done, exam done, examination done, check done on, last looked at, last looked \
         over, date checked, last thorough exam, checked on, date of last check, date of check",
    ),
    (
        Field::NextDue,
        "next due, next due on, next due date, due, due date, due on, next examination, next \
         inspection, next examination due, next inspection due, next exam, next check, next \
         examination date, next inspection date, inspection due, examination due, day the next \
         examination is due, insp due, insp due date, insp due on, next insp, next insp due, next \
         insp date, next insp due date, date next insp, date next insp due, date of next insp, date \
         of next inspection, date of next examination, date of next exam, next exam due, next exam \
         date, exam due, exam due date, date due, date next due, inspection due date, examination due \
         date, inspection due on, next check due, next check date, due for inspection, due for \
         examination, due for insp, due by, next thorough examination, next inspection due date, next loler due, loler due, next loler, \
         loler due date, next loler inspection, next loler examination, next \
         examination due date, date inspection due, date insp due, re inspection due, reinspection \
         due, next check before, next check by, check before, check again by, check again before, next inspection \
         before, next inspection by, next examination before, next examination by, next exam before, next exam by, \
         inspect before, to be checked before, to be checked by, next before",
    ),
    (
        Field::Examiner,
        "examiner, examined by, inspected by, inspector, checked by, competent person, last examined \
         by, last inspected by, who examined it, insp by, last insp by, exam by, inspector name, \
         inspector s name, examiner name, name of examiner, name of inspector, check by, check done by, inspection by, inspection done by, exam done by, examination by, \
         examination done by, who checked, who checked it, who examined, who inspected, who inspected it, done by, \
         last checked by, \
         checker",
    ),
    (
        Field::Verdict,
        "verdict, result, outcome, last result, examination result, inspection result, pass fail, \
         pass or fail, verdict of the last examination, fit, insp result, last insp result, exam \
         result, last inspection result, last examination result, result of inspection, result of \
         examination, p f, pass or failed",
    ),
    (
        Field::State,
        "state, status, condition, item state, item status, current status, current state, service \
         status, cond, item condition, service state, equipment status, gear status",
    ),
    (
        Field::StateReason,
        "reason, state reason, status reason, reason for state, reason for the state, reason for \
         status, reason retired, retirement reason, reason for quarantine, reason for retirement, \
         reason for retiring, reason withdrawn, reason for withdrawal, reason out of service",
    ),
    (
        Field::Note,
        "note, notes, remark, remarks, comment, comments, rmk, rmks, cmt, cmts, further notes, other \
         notes, general notes, additional notes, additional comments, rem, rems, memo, observations, observation",
    ),
    (
        Field::MarkingsReadable,
        "markings readable, marking readable, markings legible, marking legible, label readable, \
         label legible, legible, readable, marks legible, marks readable, label ok, marking ok, \
         markings ok",
    ),
    (
        Field::Arduous,
        "arduous, arduous use, arduous conditions, arduous use and why, harsh use, harsh conditions, heavy use, severe use, \
         severe conditions, hard use",
    ),
    (Field::Material, "material, material textile plastic metal"),
    (
        Field::LifeSupport,
        "life support, life safety, for life support, for life safety, may hold people, holds people, \
         ppe, man rated, person rated, for people, life saving, person carrying, for life saving",
    ),
    (
        Field::LifeFromMade,
        "life from made, life years, life span years, lifespan years, life years from made, years of \
         life, years of life from the day made, max life years, maximum life years, max age years, \
         maximum age years, service life years, shelf life years, life yrs, max life yrs, max age \
         yrs, lifespan yrs, life span from made years, years from manufacture, years from made",
    ),
    (
        Field::LifeFromFirstUse,
        "life from first use, years from first use, life years from first use, years of life from the \
         first use, life in use years, working life years, life in use yrs, working life yrs",
    ),
    (
        Field::MostHours,
        "most hours, most hours of use, max hours, maximum hours, max hours of use, maximum hours of use, hours limit, \
         limit hours, life hours",
    ),
    (
        Field::MostUses,
        "most uses, most times of use, max uses, maximum uses, max number of uses, maximum number of uses, uses limit, \
         use limit, usage limit, max no of uses, max cycles, maximum cycles",
    ),
    (
        Field::MostFalls,
        "most falls, most falls held, max falls, maximum falls, falls limit, falls allowed, max number of falls, \
         maximum number of falls, max no of falls",
    ),
    (
        Field::ExamineEvery,
        "examine every, examine every months, examination interval months, inspection interval \
         months, interval months, months between examinations, months between inspections, insp \
         interval months, exam interval months, insp every months, inspect every months, insp \
         interval mths, inspection interval mths",
    ),
    (
        Field::Instructions,
        "instructions, manual, papers, documents, user instructions, where the instructions are",
    ),
    (
        Field::Price,
        "price, list price, unit price, price each, price new, new price, replacement price, replacement cost, \
         replacement value, price of a new one",
    ),
    (
        Field::StrengthSource,
        "strength source, rating source, source of rating, source of strength, where the strengths \
         were read, strength read from",
    ),
    (
        Field::Standard,
        "standard, standards, norm, norms, approval, approvals, certification, certified to, approved \
         to, en standard, conforms to, std, stds, en marking, en markings, en mark, en marks, en number, en numbers, en nos, norm marking, marked to, \
         en std, nfpa std, nfpa standard, nfpa, en norm, en no, applicable standard, \
         applicable standards, to standard, certified standard, cert standard, standard no, standard \
         number, certs, cert, certificates, certificate, conformity",
    ),
    (
        Field::Edition,
        "edition, standard edition, edition of the standard, standard year",
    ),
    (
        Field::Class,
        "class, standard class, approval class, class or type in the standard, grade",
    ),
    (
        Field::RopeLeast,
        "rope min, rope min diameter, rope diameter min, min rope, min rope diameter, minimum rope, \
         minimum rope diameter, rope minimum, smallest rope, thinnest rope, rope from, rope least, \
         rope ø min, rope dia min, min rope dia, rope min dia, minimum rope dia, min rope ø, rope dia \
         from, rope ø from, smallest rope dia, thinnest rope dia, rope diam min, min rope diam",
    ),
    (
        Field::RopeMost,
        "rope max, rope max diameter, rope diameter max, max rope, max rope diameter, maximum rope, \
         maximum rope diameter, rope maximum, largest rope, thickest rope, rope to, rope most, rope ø \
         max, rope dia max, max rope dia, rope max dia, maximum rope dia, max rope ø, rope dia to, \
         rope ø to, largest rope dia, thickest rope dia, rope diam max, max rope diam",
    ),
    (
        Field::RopeRange,
        "rope range, rope diameter range, rope diameters, rope size, rope sizes, for rope, for ropes, \
         rope size range, thinnest and thickest rope, rope dia range, rope diam range, rope ø range, \
         rope range dia, range of rope, range of ropes, rope dias, suits rope, suits ropes, suitable \
         rope, suitable ropes, compatible rope, compatible ropes, for rope dia, for rope ø, for rope \
         diameter, for rope diameters, compatible rope dia, compatible rope diameter, compatible rope \
         diameters, host rope, host rope dia, host rope diameter, rope min max, rope dia min max, \
         rope diameter min max",
    ),
    (
        Field::RopeKinds,
        "rope kinds, rope kinds allowed, rope types, rope types allowed, kinds of rope allowed, for \
         rope kinds, compatible rope types, for rope types",
    ),
    (
        Field::RatedLoad,
        "rated load, rated, load rating, capacity, max load, maximum load, rated capacity, max rated \
         load, nominal load, rtd load, load rtg, max capacity, maximum capacity, max rated, mrl, m r \
         l, nominal capacity",
    ),
    (
        Field::LeastStrands,
        "least strands, fewest strands, strands needed, min strands, minimum strands",
    ),
];
