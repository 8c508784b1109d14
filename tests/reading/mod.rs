//! Reading real scans from the carried pictures, or from a folder of the same form named by `PAIRSIGHT_SCANS`.

mod alike;
mod anew;
mod doubts;
mod faulty;
mod following;
mod looks;
mod margin;
mod rivals;
pub mod scans;
pub mod stage;
pub mod table;
mod turned;
