//! What each dish asks of the dish that it is served in.

use crate::kitchen::pans::{self, Asked};
use crate::kitchen::{
    Course, Evening, HoldClass, Minute, Served, Sheet, StationKind, servingware::WareKind,
};
use crate::plan::Plan;

/// A serving dish is taken so long before its food stands on the table: to be
/// warmed or chilled, filled and carried. Common practice, no source.
pub const DISHING_MINUTES: Minute = 10;
/// Between two foods a serving dish is cleared, washed and dried. Common practice, no source.
pub const WASHING_MINUTES: Minute = 15;
/// What a serving dish must hold beyond the food, in hundredths: a spoon turns
/// in it. Common practice, no source.
pub const HEADROOM_PERCENT: u32 = 5;

/// What a dish asks of its serving dish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// Index of the dish.
    pub dish: usize,
    /// How it goes to the table.
    pub served: Served,
    /// Its volume, headroom included; nothing for what is only laid out flat.
    pub ml: Option<u32>,
    /// Its area, headroom included; nothing for what is only heaped or runs.
    pub cm2: Option<u32>,
    /// How it is kept until it is served.
    pub class: HoldClass,
    /// It stands in the oven in its serving dish.
    pub oven: bool,
    /// The serving dish must have a lid.
    pub lid: bool,
    /// The first minute at which the serving dish is taken.
    pub from: Minute,
    /// The minute at which it stands on the table.
    pub served_at: Minute,
    /// The minute at which the table is cleared.
    pub to: Minute,
    /// The recipe does not say how large a portion is: reckoned by its course.
    pub guessed: bool,
    /// The pans that it comes to the table in, by title and how many.
    pub pans: Vec<(String, u32)>,
    /// It would come in its pan, but that is wanted again at this minute.
    pub pan_wanted: Option<Minute>,
}

/// The needs of all dishes of the evening, in their order. Without a plan the
/// party's own times count.
#[must_use]
pub fn needs(evening: &Evening, plan: Option<&Plan>) -> Vec<Need> {
    (0..evening.sheets.len()).filter_map(|dish| need(evening, plan, dish)).collect()
}

fn need(evening: &Evening, plan: Option<&Plan>, dish: usize) -> Option<Need> {
    let sheet = evening.sheets.get(dish)?;
    // What is no dish of a service goes into no serving dish.
    evening.party.services.get(sheet.service)?;
    let served_at = served_at(evening, plan, dish, sheet);
    let to = served_at.saturating_add(minutes(evening.table_minutes(dish)));
    let hold = plan.and_then(|p| p.holds.iter().find(|h| h.dish == dish));
    let way = hold.and_then(|h| sheet.recipe.holds.get(h.hold)).or(match hold {
        Some(_) => None,
        None => sheet.recipe.holds.first(),
    });
    let dished = way.filter(|h| h.dished);
    let from = match (dished, hold) {
        (Some(_), Some(hold)) => hold.from.min(served_at),
        _ => served_at.saturating_sub(DISHING_MINUTES),
    };
    let mut served = sheet.recipe.served.unwrap_or(by_course(sheet));
    let (mut pans, mut pan_wanted) = (Vec::new(), None);
    if served == Served::AsCooked {
        pan_wanted = wanted_again(plan, dish, (served_at, to));
        if pan_wanted.is_none() {
            pans = own_pans(evening, plan, dish, sheet);
        }
        if pans.is_empty() {
            served = Served::Spooned;
        }
    }
    let (ml, cm2, guessed) = amounts(sheet, served);
    Some(Need {
        dish,
        served,
        ml,
        cm2,
        class: class(sheet, hold.map(|h| h.class)),
        oven: dished.is_some_and(|h| matches!(h.place, StationKind::Oven | StationKind::Grill)),
        lid: sheet.recipe.lid,
        from,
        served_at,
        to,
        guessed,
        pans,
        pan_wanted,
    })
}

/// When a dish is served by the plan, else by the party.
#[must_use]
pub fn served_at(evening: &Evening, plan: Option<&Plan>, dish: usize, sheet: &Sheet) -> Minute {
    let planned = plan.into_iter().flat_map(|p| &p.services).flat_map(|s| &s.dishes);
    let planned = planned.filter(|d| d.0 == dish).map(|d| d.2).next();
    planned.unwrap_or_else(|| evening.service_minute(sheet.service))
}

/// Hot, cold or neither: as it waits; food that stands on the counter for the
/// last minutes is what it would be elsewhere, else what its last step makes it.
fn class(sheet: &Sheet, waits: Option<HoldClass>) -> HoldClass {
    let holds = || sheet.recipe.holds.iter().map(|h| h.class);
    let last = sheet.recipe.steps.get(sheet.last_step());
    let heated = || last.and_then(|s| s.ways.first()).is_some_and(|w| w.station.heats());
    match waits {
        Some(class @ (HoldClass::Hot | HoldClass::Cold)) => class,
        _ if holds().any(|c| c == HoldClass::Hot) => HoldClass::Hot,
        _ if holds().any(|c| c == HoldClass::Cold) => HoldClass::Cold,
        _ if heated() => HoldClass::Hot,
        _ => HoldClass::Room,
    }
}

/// How food of a course goes to the table if its recipe does not say.
fn by_course(sheet: &Sheet) -> Served {
    let heaped = sheet.recipe.portion_ml.is_some();
    match sheet.recipe.course {
        Course::Drink => Served::Poured,
        Course::Bread => Served::Dry,
        _ if sheet.recipe.portion_cm2.is_some() && !heaped => Served::Laid,
        _ => Served::Spooned,
    }
}

/// Volume and area of a portion where the recipe has none: common practice, no source.
const fn usual(course: Course) -> (u32, u32) {
    match course {
        Course::Starter => (150, 50),
        Course::Main => (300, 90),
        Course::Side => (150, 70),
        Course::Sauce => (60, 30),
        Course::Bread => (250, 60),
        Course::Dessert => (160, 50),
        Course::Drink => (220, 50),
    }
}

/// Volume and area of all servings, and whether a portion had to be guessed.
fn amounts(sheet: &Sheet, served: Served) -> (Option<u32>, Option<u32>, bool) {
    let recipe = &sheet.recipe;
    let (usual_ml, usual_cm2) = usual(recipe.course);
    let all = |portion: u32| {
        let whole = u64::from(portion) * u64::from(sheet.servings);
        u32::try_from((whole * u64::from(100 + HEADROOM_PERCENT)).div_ceil(100)).unwrap_or(u32::MAX)
    };
    let (ml, cm2) = (recipe.portion_ml, recipe.portion_cm2);
    match served {
        Served::Ladled | Served::Spooned | Served::Poured | Served::AsCooked => {
            (Some(all(ml.unwrap_or(usual_ml))), None, ml.is_none())
        }
        Served::Laid | Served::Sliced => (None, Some(all(cm2.unwrap_or(usual_cm2))), cm2.is_none()),
        Served::Dry if ml.is_none() && cm2.is_none() => {
            (Some(all(usual_ml)), Some(all(usual_cm2)), true)
        }
        Served::Dry => (ml.map(all), cm2.map(all), false),
    }
}

/// The minute at which a pan that a dish ends in is used again while the dish
/// would stand on the table in it.
fn wanted_again(
    plan: Option<&Plan>,
    dish: usize,
    (served_at, to): (Minute, Minute),
) -> Option<Minute> {
    let pans = &plan?.pans;
    let last = pans.iter().filter(|p| p.dish == dish).map(|p| p.to).max()?;
    let own = pans.iter().filter(|p| p.dish == dish && p.to == last);
    let others = own.flat_map(|own| {
        let same = move |p: &&crate::plan::PanBlock| {
            p.cookware == own.cookware && p.numbers.iter().any(|n| own.numbers.contains(n))
        };
        pans.iter().filter(|p| p.dish != dish).filter(same)
    });
    others.filter(|p| p.from < to && p.to > served_at).map(|p| p.from).min()
}

/// The pans that a dish ends in: those of its last step, on the day on which that is done.
fn own_pans(
    evening: &Evening,
    plan: Option<&Plan>,
    dish: usize,
    sheet: &Sheet,
) -> Vec<(String, u32)> {
    let last = sheet.last_step();
    let Some(step) = sheet.recipe.steps.get(last) else { return Vec::new() };
    let kitchen = &evening.kitchen;
    let wares = &kitchen.cookware;
    let title = |id: &str| wares.iter().find(|c| c.id == id).map(|c| (c.title.clone(), &c.kind));
    let asked = |kind: &str| step.cookware.iter().any(|n| n.kind == kind);
    if let Some(plan) = plan {
        // What was done the day before was done in others.
        let blocks = plan.blocks.iter().filter(|b| b.key.dish == dish && b.key.step == last);
        let begins = blocks.map(|b| b.start).min();
        let is_late = |p: &&crate::plan::PanBlock| begins.is_none_or(|begins| p.to > begins);
        let own = plan.pans.iter().filter(|p| p.dish == dish).filter(is_late);
        let own = own.filter_map(|p| Some((title(&p.cookware)?, p.numbers.len())));
        let own = own.filter(|((_, kind), _)| asked(kind));
        return own.map(|((title, _), n)| (title, u32::try_from(n).unwrap_or(u32::MAX))).collect();
    }
    let of_kind = |need: &crate::kitchen::CookwareNeed| {
        let asked = Asked::of(&sheet.recipe, need, sheet.servings, None);
        let take = pans::in_kitchen(kitchen, &need.kind, asked, false);
        let all = pans::of_kind(kitchen, &need.kind, false).map(|(_, c)| c);
        let will_do = all.filter(|c| take.is_none_or(|take| take.suits(c.volume_ml)));
        let pan = will_do.min_by_key(|c| c.volume_ml.unwrap_or(u32::MAX))?;
        Some((pan.title.clone(), take.map_or(need.count, |take| take.pieces)))
    };
    step.cookware.iter().filter_map(of_kind).collect()
}

fn minutes(n: u32) -> Minute {
    Minute::try_from(n).unwrap_or(Minute::MAX / 4)
}

impl Need {
    /// The kind that suits it best, for what is to be borrowed.
    #[must_use]
    pub const fn best_kind(&self) -> WareKind {
        match self.served {
            Served::Ladled => WareKind::Pot,
            Served::Spooned | Served::AsCooked if self.oven => WareKind::Dish,
            Served::Spooned | Served::AsCooked => WareKind::Bowl,
            Served::Poured => WareKind::Jug,
            Served::Dry => WareKind::Basket,
            Served::Laid => WareKind::Platter,
            Served::Sliced => WareKind::Board,
        }
    }

    /// Does it need a serving dish at all?
    #[must_use]
    pub fn wants_one(&self) -> bool {
        self.pans.is_empty()
    }
}
