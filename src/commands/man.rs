//! `man`: the manual pages, made from the command line's own help.

use std::io;

use clap::{Command, CommandFactory};
use clap_mangen::Man;

use super::args::{Cli, ManArgs};
use super::files::write_whole;
use super::outcome::{Ended, Exit, print_prose};

/// What no command's help tells.
const MORE: &str = r#".SH "EXIT STATUS"
.TP
0
done
.TP
1
something else went wrong
.TP
2
bad usage, or a file that is unreadable or malformed
.TP
3
not enough was seen, or not sure enough, to say
.TP
4
a cube that cannot be solved by turning it; all faults are listed
.SH FILES
.TP
.I calibration/NAME.json
a profile: one cube's colours under one light
.TP
.I $XDG_DATA_HOME/pairsight/journal.sqlite
what was practised
.SH NOTES
On Debian and its kin a camera may be used by members of the group
.BR video :
.B sudo adduser $USER video
, then log in again.
Pictures stay on this computer and are not kept, unless
.B \-\-annotate
asks for them.
"#;

/// Prints the program's page, or writes the pages of all its commands.
pub fn run(args: &ManArgs) -> Ended {
    let mut whole = Cli::command();
    whole.build();
    let Some(folder) = &args.out else {
        print_prose(page(&whole)?.trim_end())?;
        return Ok(Exit::Done);
    };
    let commands = whole.get_subcommands().filter(|c| c.get_name() != "help");
    for command in std::iter::once(&whole).chain(commands) {
        let name = command.get_display_name().unwrap_or(command.get_name());
        write_whole(&folder.join(format!("{name}.1")), page(command)?.as_bytes())?;
    }
    Ok(Exit::Done)
}

fn page(command: &Command) -> io::Result<String> {
    let mut roff = Vec::new();
    Man::new(command.clone()).render(&mut roff)?;
    let mut page = String::from_utf8_lossy(&roff).into_owned();
    if command.has_subcommands() {
        page.push_str(MORE);
    }
    Ok(page)
}
