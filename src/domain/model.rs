//! A model: what a maker sells. Its items share its ratings, approvals and attributes.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::approval::{Approval, ApprovalDraft};
use super::attribute::{Attributes, Where};
use super::life::LifeLimit;
use super::rating::doubt::CONFIRMED;
use super::rating::{Gear, Rating, RatingDraft, beside, optional};
use super::{FieldErrors, Kind, LimitDraft, Material, ModelId, ModelLimit, Price, UseLimit};

/// What a maker sells.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Model {
    /// Its id.
    pub id: ModelId,
    /// Counts the changes, from 1; a stale edit names an older one.
    pub revision: u32,
    /// The kind of gear.
    pub kind: Kind,
    /// The maker.
    pub maker: String,
    /// The maker's name for it.
    pub name: String,
    /// What it is made of.
    pub material: Material,
    /// Whether nobody wrote down what it is made of, so that `material` is what its kind is taken for.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub material_open: bool,
    /// Whether the maker allows it for holding people.
    pub life_support: bool,
    /// What it is approved for.
    pub approvals: Vec<Approval>,
    /// What it holds.
    pub ratings: Vec<Rating>,
    /// What else is written down.
    pub attributes: Attributes,
    /// What its maker allows of what is measured in an examination.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<ModelLimit>,
    /// The maker's limit of life.
    pub life: LifeLimit,
    /// The most use that the maker allows.
    #[serde(default, skip_serializing_if = "UseLimit::is_open")]
    pub use_limit: UseLimit,
    /// The maker's longest time between examinations, in months.
    pub examine_every_months: Option<u16>,
    /// What one costs to replace, as somebody entered it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<Price>,
    /// Where the instructions and papers are.
    pub instructions: String,
    /// A note.
    pub note: String,
}

impl Model {
    /// Maker and name in one line.
    pub fn title(&self) -> String {
        format!("{} {}", self.maker, self.name)
    }

    /// The model as it would be typed.
    pub fn draft(&self) -> ModelDraft {
        let typed = |most: Option<u16>| most.map(|most| most.to_string()).unwrap_or_default();
        ModelDraft {
            kind: self.kind.key().to_owned(),
            maker: self.maker.clone(),
            name: self.name.clone(),
            material: if self.material_open {
                String::new()
            } else {
                self.material.key().to_owned()
            },
            life_support: if self.life_support { "yes" } else { "no" }.to_owned(),
            approvals: self.approvals.iter().map(ApprovalDraft::from).collect(),
            ratings: self.ratings.iter().map(RatingDraft::from).collect(),
            attributes: self.attributes.typed(),
            limits: self.limits.iter().map(LimitDraft::from).collect(),
            life_years_from_made: typed(self.life.years_from_made),
            life_years_from_first_use: typed(self.life.years_from_first_use),
            life_by_condition: if self.life.by_condition { "yes" } else { "" }.to_owned(),
            most_hours: typed(self.use_limit.hours),
            most_uses: typed(self.use_limit.uses),
            most_falls: typed(self.use_limit.falls),
            examine_every_months: typed(self.examine_every_months),
            price: self.price.as_ref().map(Price::typed).unwrap_or_default(),
            instructions: self.instructions.clone(),
            note: self.note.clone(),
        }
    }
}

/// A model as typed in; quantities are texts with their unit.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct ModelDraft {
    /// The kind's key.
    pub kind: String,
    /// The maker.
    pub maker: String,
    /// The maker's name for it.
    pub name: String,
    /// `textile`, `plastic` or `metal`; empty is the kind's usual one. Of a kind that is made of several it is then not
    /// known, and taken as textile.
    pub material: String,
    /// `yes` or `no`: whether the maker allows it for holding people; may be empty for what is not loaded.
    pub life_support: String,
    /// What it is approved for; blank ones are passed over.
    pub approvals: Vec<ApprovalDraft>,
    /// What it holds; blank ones are passed over.
    pub ratings: Vec<RatingDraft>,
    /// What else is written down, by key.
    pub attributes: BTreeMap<String, String>,
    /// What its maker allows of what is measured; blank ones are passed over.
    pub limits: Vec<LimitDraft>,
    /// The maker's years of life from the day made.
    pub life_years_from_made: String,
    /// The maker's years of life from the first use.
    pub life_years_from_first_use: String,
    /// `yes` where the maker sets no years and the condition decides.
    pub life_by_condition: String,
    /// The most hours of use that the maker allows.
    pub most_hours: String,
    /// The most times of use that the maker allows.
    pub most_uses: String,
    /// The most falls that the maker lets it hold.
    pub most_falls: String,
    /// The maker's longest time between examinations in months.
    pub examine_every_months: String,
    /// What one costs to replace, with the currency's three letters, such as `129.90 EUR`; empty where it is not known.
    pub price: String,
    /// Where the instructions and papers are.
    pub instructions: String,
    /// A note.
    pub note: String,
}

/// The most approvals or ratings of one model.
pub const MOST_ENTRIES: usize = 40;

impl ModelDraft {
    /// The model that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, id: ModelId, revision: u32) -> Result<Model, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let kind = self.kind(&mut wrong);
        let maker = wrong.line("maker", &self.maker);
        let name = wrong.line("name", &self.name);
        let material = self.material(kind, &mut wrong);
        let life_support = self.life_support(kind, &mut wrong);
        let approvals = self.approvals(kind, &mut wrong);
        let ratings = self.ratings(kind, &mut wrong);
        let attributes = kind
            .map(|kind| Attributes::check(kind, Where::Model, &self.attributes, &mut wrong))
            .unwrap_or_default();
        let limits = self.limits(kind, &mut wrong);
        let life = self.life(&mut wrong);
        let use_limit = self.use_limit(&mut wrong);
        let examine_every_months = whole(
            &mut wrong,
            "examine_every_months",
            &self.examine_every_months,
            120,
        );
        let price = optional(&self.price, |text| {
            wrong.keep("price", "unit", Price::read_typed(text))
        });
        let instructions = wrong.note("instructions", &self.instructions);
        let note = wrong.note("note", &self.note);
        match (kind, material) {
            (Some(kind), Some(material)) if wrong.is_empty() => Ok(Model {
                id,
                revision,
                kind,
                maker,
                name,
                material,
                material_open: self.material.trim().is_empty() && kind.is_of_several_materials(),
                life_support,
                approvals,
                ratings,
                attributes,
                limits,
                life,
                use_limit,
                examine_every_months,
                price,
                instructions,
                note,
            }),
            _ => Err(wrong),
        }
    }

    fn kind(&self, wrong: &mut FieldErrors) -> Option<Kind> {
        let kind = Kind::from_word(&self.kind);
        if kind.is_none() {
            wrong.add(
                "kind",
                "choice",
                format!(
                    "Choose a kind of gear from the list, not \"{}\".",
                    self.kind.trim()
                ),
            );
        }
        kind
    }

    /// Of what is not loaded nobody need say it, and what is used beside the rig holds nobody.
    fn life_support(&self, kind: Option<Kind>, wrong: &mut FieldErrors) -> bool {
        match self.life_support.trim().to_lowercase().as_str() {
            _ if kind.is_some_and(Kind::is_beside_the_rig) => false,
            "" if kind.is_some_and(|kind| !kind.is_loaded()) => false,
            "yes" | "true" => true,
            "no" | "false" => false,
            other => {
                wrong.add(
                    "life_support",
                    "choice",
                    format!("Say yes or no, not \"{other}\": may it hold people?"),
                );
                false
            }
        }
    }

    fn life(&self, wrong: &mut FieldErrors) -> LifeLimit {
        let life = LifeLimit {
            years_from_made: whole(
                wrong,
                "life_years_from_made",
                &self.life_years_from_made,
                60,
            ),
            years_from_first_use: whole(
                wrong,
                "life_years_from_first_use",
                &self.life_years_from_first_use,
                60,
            ),
            by_condition: wrong.tick("life_by_condition", &self.life_by_condition),
        };
        if life.by_condition
            && (life.years_from_made.is_some() || life.years_from_first_use.is_some())
        {
            wrong.add(
                "life_by_condition",
                "choice",
                "Give years or tick that the condition decides, not both.",
            );
        }
        life
    }

    fn use_limit(&self, wrong: &mut FieldErrors) -> UseLimit {
        UseLimit {
            hours: whole(wrong, "most_hours", &self.most_hours, 10_000),
            uses: whole(wrong, "most_uses", &self.most_uses, 10_000),
            falls: whole(wrong, "most_falls", &self.most_falls, 10_000),
        }
    }

    fn material(&self, kind: Option<Kind>, wrong: &mut FieldErrors) -> Option<Material> {
        if self.material.trim().is_empty() {
            return kind.map(Kind::material);
        }
        let material = Material::from_key(&self.material);
        if material.is_none() {
            wrong.add(
                "material",
                "choice",
                format!(
                    "Choose textile, plastic or metal, not \"{}\".",
                    self.material.trim()
                ),
            );
        }
        material
    }

    fn approvals(&self, kind: Option<Kind>, wrong: &mut FieldErrors) -> Vec<Approval> {
        let typed = (self.approvals.as_slice(), ApprovalDraft::is_blank);
        let mut approvals = entries(wrong, "approvals", typed, ApprovalDraft::check);
        let gear = kind.map(|kind| Gear::typed(kind, self));
        for (at, approval) in &mut approvals {
            if let Some(question) = gear.as_ref().and_then(|gear| approval.doubted(gear)) {
                let field = format!("approvals[{at}][rated_load]");
                wrong.ask(field, question, CONFIRMED);
            }
        }
        approvals
            .into_iter()
            .map(|(_, approval)| approval)
            .collect()
    }

    fn ratings(&self, kind: Option<Kind>, wrong: &mut FieldErrors) -> Vec<Rating> {
        let Some(kind) = kind else {
            too_many(wrong, "ratings", self.ratings.len());
            return Vec::new();
        };
        let typed = (self.ratings.as_slice(), RatingDraft::is_blank);
        let gear = Gear::typed(kind, self);
        let ratings = entries(wrong, "ratings", typed, |draft| draft.check(kind, &gear));
        beside::agree(&ratings, wrong);
        ratings.into_iter().map(|(_, rating)| rating).collect()
    }
}

/// Every entry of a list that holds with its place there, blank ones left out; what does not is noted under its place in the list.
fn entries<D, T>(
    wrong: &mut FieldErrors,
    field: &str,
    (typed, is_blank): (&[D], impl Fn(&D) -> bool),
    check: impl Fn(&D) -> Result<T, FieldErrors>,
) -> Vec<(usize, T)> {
    too_many(wrong, field, typed.len());
    let typed = typed.iter().enumerate().take(MOST_ENTRIES);
    typed
        .filter(|(_, draft)| !is_blank(draft))
        .filter_map(|(at, draft)| {
            check(draft)
                .map_err(|part| wrong.nest(&format!("{field}[{at}]"), part))
                .ok()
                .map(|entry| (at, entry))
        })
        .collect()
}

impl ModelDraft {
    fn limits(&self, kind: Option<Kind>, wrong: &mut FieldErrors) -> Vec<ModelLimit> {
        too_many(wrong, "limits", self.limits.len());
        let Some(kind) = kind else { return Vec::new() };
        let mut limits: Vec<ModelLimit> = Vec::new();
        let typed = self.limits.iter().enumerate().take(MOST_ENTRIES);
        for (at, draft) in typed.filter(|(_, draft)| !draft.is_blank()) {
            let name = format!("limits[{at}]");
            match draft.check(kind) {
                Ok(limit) if limits.iter().any(|one| one.criterion == limit.criterion) => {
                    let sentence = "This is limited above already: write least and most together.";
                    wrong.add(format!("{name}[criterion]"), "taken", sentence);
                }
                Ok(limit) => limits.push(limit),
                Err(part) => wrong.nest(&name, part),
            }
        }
        limits
    }
}

fn too_many(wrong: &mut FieldErrors, field: &str, given: usize) {
    if given > MOST_ENTRIES {
        wrong.add(
            field,
            "long",
            format!("Keep to {MOST_ENTRIES} of them; {given} were given."),
        );
    }
}

fn whole(wrong: &mut FieldErrors, field: &str, text: &str, most: u16) -> Option<u16> {
    optional(text, |text| match text.trim().parse::<u16>() {
        Ok(number) if (1..=most).contains(&number) => Some(number),
        _ => {
            let given: String = text.trim().chars().take(60).collect();
            wrong.add(
                field,
                "range",
                format!("Write a whole number from 1 to {most}, not \"{given}\"."),
            );
            None
        }
    })
}
