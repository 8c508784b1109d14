//! Reading scans with truth: those that the project carries; the laboratory takes any folder of the same form.

pub mod anew;
pub mod doubts;
pub mod faulty;
pub mod following;
pub mod invariance;
pub mod looks;
pub mod margin;
pub mod rivals;
pub mod scans;
pub mod stage;
pub mod table;
pub mod turned;
