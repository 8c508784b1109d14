//! Reading real scans from the carried pictures, or from a folder of the same form named by `PAIRSIGHT_SCANS`.

mod alike;
#[path = "../harness/amount.rs"]
mod amount;
mod anew;
mod doubts;
#[path = "../harness/each.rs"]
mod each;
mod faulty;
mod following;
mod looks;
mod margin;
#[path = "../harness/retake.rs"]
mod retake;
mod rivals;
#[path = "../harness/scan_folder.rs"]
mod scan_folder;
mod scans;
mod stage;
mod table;
mod turned;
