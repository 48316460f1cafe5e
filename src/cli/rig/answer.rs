//! What is answered about a rig, and about a kit on it.

use serde::Serialize;

use crate::{
    domain::{KitFile, kit_strength},
    rigging::{
        Assessment, CAUTIONS, Conditions, Force, Gap, Outline, Rig, RigError, Swing, assess,
        sensitivity,
    },
};

/// The answer, in the order in which it is told.
#[derive(Serialize)]
pub(super) struct Answer {
    /// The short name of the rig.
    pub(super) key: String,
    /// Its name in plain words.
    pub(super) title: String,
    /// When it is used.
    pub(super) when: String,
    /// Whether it is never hauled with.
    pub(super) only_lowers: bool,
    /// Its limits.
    pub(super) limits: Vec<String>,
    /// What it comes to before anything is fitted.
    #[serde(flatten)]
    pub(super) outline: Outline,
    /// The load in newtons, if one is given.
    pub(super) load: Option<Force>,
    /// What the kit comes to, if one is given.
    pub(super) kit: Option<KitAnswer>,
    /// What no such answer can know.
    pub(super) cautions: Vec<String>,
}

/// What a kit comes to on the rig.
#[derive(Serialize)]
pub(super) struct KitAnswer {
    /// The answer in one sentence.
    pub(super) sentence: String,
    /// Whether it passes; nothing while something is missing.
    pub(super) passes: Option<bool>,
    /// What is missing, a sentence each.
    pub(super) missing: Vec<String>,
    /// What the job asks.
    pub(super) conditions: Conditions,
    /// The numbers; none while something is missing.
    pub(super) assessment: Option<Assessment>,
    /// Which input moves the answer most.
    pub(super) sensitivity: Vec<Swing>,
}

impl Answer {
    /// The answer about a rig, with a kit on it or without, under a load or that of the kit.
    pub(super) fn new(
        rig: &Rig,
        kit: Option<KitFile>,
        load: Option<Force>,
    ) -> Result<Self, RigError> {
        let kit = kit.map(|mut kit| {
            let conditions = &mut kit.conditions;
            conditions.load = load.unwrap_or(conditions.load);
            conditions.exceptional.belay_aside = rig.belay_leaves_aside(&conditions.way);
            kit
        });
        let kit_load = kit.as_ref().map(|kit| kit.conditions.load);
        Ok(Self {
            key: rig.key().to_owned(),
            title: rig.title().to_owned(),
            when: rig.when().to_owned(),
            only_lowers: rig.only_lowers(),
            limits: rig.limits().to_vec(),
            outline: rig.outline()?,
            load: load.or(kit_load),
            kit: kit.map(|kit| KitAnswer::new(rig, kit)),
            cautions: CAUTIONS.iter().map(|line| (*line).to_owned()).collect(),
        })
    }

    /// Whether all that was asked holds: a rig by itself does if it could be read. Nothing while something
    /// is missing.
    pub(super) fn passes(&self) -> Option<bool> {
        self.kit.as_ref().map_or(Some(true), |kit| kit.passes)
    }
}

impl KitAnswer {
    fn new(rig: &Rig, kit: KitFile) -> Self {
        let KitFile { conditions, outfit } = kit;
        let answer = assess(rig, &outfit, &conditions);
        let sentence = kit_strength::in_one_sentence(&answer);
        let (assessment, missing) = match answer {
            Ok(assessment) => (Some(assessment), Vec::new()),
            Err(gaps) => (None, gaps.iter().map(Gap::to_string).collect()),
        };
        // It asks for the same as the answer itself, so it is there whenever that is.
        let sensitivity = sensitivity(rig, &outfit, &conditions).unwrap_or_default();
        Self {
            sentence,
            passes: assessment.as_ref().map(|assessment| assessment.passes),
            missing,
            conditions,
            assessment,
            sensitivity,
        }
    }
}
