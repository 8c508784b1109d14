//! `man`: the manual pages, made from the command line's own help.

use std::io;

use clap::{Command, CommandFactory};
use clap_mangen::Man;

use super::args::{Cli, ManArgs};
use super::files::write_whole;
use crate::front::outcome::{Ended, Exit, print_prose};

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
.I ~/.local/share/pairsight/journal.sqlite
what was practised; below
.I $XDG_DATA_HOME
where that is set
.SH NOTES
Pictures stay on this computer and are not kept, unless
.B \-\-annotate
asks for them.
.PP
On Debian and its kin members of the group
.B video
may use a camera. To become one, run
.B sudo adduser $USER video
and log in again.
"#;

/// Prints the program's page, or writes the pages of all its commands.
pub fn run(args: &ManArgs) -> Ended {
    let mut whole = Cli::command().disable_help_subcommand(true);
    whole.build();
    let Some(folder) = &args.out else {
        print_prose(page(&whole)?.trim_end())?;
        return Ok(Exit::Done);
    };
    for command in std::iter::once(&whole).chain(whole.get_subcommands()) {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_a_page_and_every_option_a_place_in_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = Some(folder.path().to_owned());
        assert_eq!(run(&ManArgs { out }), Ok(Exit::Done));
        let read = |name: &str| std::fs::read_to_string(folder.path().join(name)).expect(name);
        let main = read("pairsight.1");
        for command in Cli::command().get_subcommands() {
            let name = command.get_name();
            assert!(main.contains(&format!("pairsight\\-{name}(1)")), "{name}");
            let page = read(&format!("pairsight-{name}.1"));
            for long in command.get_arguments().filter_map(clap::Arg::get_long) {
                let option = format!("\\-\\-{}", long.replace('-', "\\-"));
                assert!(page.contains(&option), "{name} {long}");
            }
        }
    }
}
