//! What failed, by model and by lot, each beside what it is a part of.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::domain::ModelId;

/// Where fewer items than this were examined, a share says little, and the page says so: common practice, no source.
pub const FEW: u32 = 10;

/// What was found in some time, with what it is counted of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Failures {
    /// Items on the register, retired ones among them.
    pub items: u32,
    /// Of these, those that were examined in the time.
    pub items_examined: u32,
    /// Of those, the ones of which an examination ended in quarantine or retirement.
    pub items_failed: u32,
    /// Examinations in the time.
    pub examinations: u32,
    /// Of these, the ones that ended in quarantine or retirement.
    pub examinations_failed: u32,
    /// Events that were reported in the time; each took its item out of use.
    pub events: u32,
    /// Items with such an event.
    pub items_with_event: u32,
}

impl Failures {
    /// Both together.
    #[must_use]
    pub fn plus(self, more: Self) -> Self {
        Self {
            items: self.items + more.items,
            items_examined: self.items_examined + more.items_examined,
            items_failed: self.items_failed + more.items_failed,
            examinations: self.examinations + more.examinations,
            examinations_failed: self.examinations_failed + more.examinations_failed,
            events: self.events + more.events,
            items_with_event: self.items_with_event + more.items_with_event,
        }
    }

    /// Whether anything failed or happened.
    pub fn has_any(self) -> bool {
        self.examinations_failed > 0 || self.events > 0
    }

    /// The share of the examined items that failed, in percent; none where none was examined.
    pub fn percent_failed(self) -> Option<f64> {
        let examined = f64::from(self.items_examined);
        (self.items_examined > 0).then(|| 100.0 * f64::from(self.items_failed) / examined)
    }

    /// Whether so few items were examined that the share says little.
    pub fn says_little(self) -> bool {
        self.items_examined < FEW
    }
}

/// What failed of one lot of a model.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct LotFailures {
    /// The model.
    pub model: ModelId,
    /// The lot as it is written on one of the items; none where no lot is noted.
    pub lot: Option<String>,
    /// What was found.
    #[serde(flatten)]
    pub failures: Failures,
}

/// What failed of one model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct ModelFailures {
    /// The model.
    pub model: ModelId,
    /// What was found.
    #[serde(flatten)]
    pub failures: Failures,
}

/// The lots of each model together.
pub fn failures_by_model(lots: &[LotFailures]) -> Vec<ModelFailures> {
    let mut models: BTreeMap<ModelId, Failures> = BTreeMap::new();
    for lot in lots {
        let sum = models.entry(lot.model).or_default();
        *sum = sum.plus(lot.failures);
    }
    let models = models.into_iter();
    models
        .map(|(model, failures)| ModelFailures { model, failures })
        .collect()
}
