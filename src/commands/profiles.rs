//! Finding the profile that a command line names.

use std::path::Path;

use super::args::ProfileArgs;
use crate::colour::Profile;
use crate::cube::Scheme;
use crate::front::outcome::Failure;
use crate::read::Reader;

/// The profile asked for: a file where there is one of that name or it looks like one, else a name in the folder.
pub fn load(args: &ProfileArgs) -> Result<Option<Profile>, Failure> {
    let Some(wanted) = &args.profile else {
        return Ok(None);
    };
    let as_file = Path::new(wanted);
    let path = if as_file.is_file() || wanted.ends_with(".json") {
        as_file.to_owned()
    } else {
        Profile::path(&args.calibration_dir, wanted)
            .map_err(|error| Failure::usage(error.to_string()))?
    };
    Profile::load(&path)
        .map(Some)
        .map_err(|error| Failure::usage(error.to_string()))
}

/// How a profile's cube has its colours; as usual where that is not known before a cube is seen.
pub fn scheme(profile: Option<&Profile>) -> Scheme {
    profile.and_then(Profile::scheme).unwrap_or(Scheme::USUAL)
}

/// A reader by the profile asked for, and by what is said of the pictures.
pub fn reader(args: &ProfileArgs, profile: Option<&Profile>) -> Reader {
    let reader = Reader::new(profile);
    match args.mirrored {
        Some(mirrored) => reader.mirrored(mirrored),
        None => reader,
    }
}
