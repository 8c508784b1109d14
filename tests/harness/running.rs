//! The program while it runs with its page.

use std::io::{BufRead, BufReader, Read};
use std::process::{Child, ChildStderr};

/// The address of the page, as the program prints it, and what it says after that.
pub fn page_address(child: &mut Child) -> (String, BufReader<ChildStderr>) {
    let mut said = BufReader::new(child.stderr.take().expect("stderr is piped"));
    let address = said
        .by_ref()
        .lines()
        .map_while(Result::ok)
        .find_map(|line| Some(line.strip_prefix("the page: ")?.to_owned()))
        .expect("the program prints the page's address");
    (address, said)
}
