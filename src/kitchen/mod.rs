//! The domain: recipes, kitchens and parties as the cook writes them, and the
//! [`Evening`] that one self-contained party becomes. Pure data and arithmetic:
//! nothing here reads a file, a clock or the screen.

pub mod ahead;
pub mod borrowed;
pub mod change;
pub mod check;
pub mod choice;
pub mod clock;
pub mod customs;
pub mod equipment;
pub mod evening;
pub mod food;
pub mod id;
pub mod items;
pub mod menu;
pub mod own_times;
pub mod pans;
pub mod party;
pub mod recipe;
pub mod servingware;
pub mod swap;
pub mod units;

pub use borrowed::{Borrowed, Lendable};
pub use change::PartyChange;
pub use clock::{Clockface, DAY, Minute, TimeOfDay};
pub use customs::{Customs, Locale, Settings};
pub use equipment::{Cookware, Kitchen, Station, StationKind, Thermostat};
pub use evening::{AcrossDishes, BoardJob, Evening, Sheet, WaitsFor};
pub use food::{Exemption, FoodClass};
pub use own_times::{OwnTime, OwnTimes};
pub use party::{Cook, Dish, Guest, Least, Party, Service, Sourced};
pub use recipe::{
    After, CookwareNeed, Course, Growth, Half, Hands, Hold, HoldClass, Ingredient, Kept, Minutes,
    Pack, Recipe, Reheating, Safety, Setting, Step, StepCare, Swap, WaitPlace, Way,
};
pub use servingware::{Keeps, Served, Servingware, WareKind, WareShape, WareSize};
pub use swap::StandIn;
