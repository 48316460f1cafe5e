//! What no computed result can know. Shown beside every one.

/// The cautions, a sentence or two each, in the order in which they are shown.
pub const CAUTIONS: [&str; 12] = [
    "This is arithmetic on the data that were entered. It has not seen the rope, and it approves no rig; \
     the maker's instructions, local rules and a competent person decide.",
    "Friction is an estimate. Look at the range of each answer, not only at its likely value.",
    "At rest nobody knows how the load is split between the strands, only that it lies between hauling and lowering.",
    "Shock, edges, swing, jammed or snagged loads, side loads, heat, chemicals, the structure behind the anchor and \
     the skill of people are not in these numbers.",
    "Wide angles and tight lines multiply force: above 120 degrees each leg of a bridle carries more than the load.",
    "The minimum that a standard asks of a new part is not the rating of the part in your hand, and a breaking \
     strength is not a working limit.",
    "A connector with its gate open, loaded across, or bent over an edge holds far less than its main rating.",
    "A pass is as good as the last examination, and an event since then counts for more than its date.",
    "The belay must stand alone: its own anchor, its own rope, its own device, each checked for the peak it may see.",
    "Rules on lifting gear and rules on protective equipment may both apply. The duty holder decides which.",
    "Emergency services and training may stand under other rules. Nothing here says that a plan is lawful.",
    "Plan with this beforehand. Do not use it during an entry to decide on the spot.",
];
