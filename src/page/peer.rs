//! Whose program is at the other end of a connection.

use std::net::SocketAddr;

/// Both ends of a connection.
#[derive(Clone, Copy, Debug)]
pub struct Peer {
    pub from: SocketAddr,
    /// This program's end.
    pub to: SocketAddr,
}

impl Peer {
    /// Whether another user of this machine holds the other end, where the system tells.
    #[cfg(target_os = "linux")]
    pub fn is_another_user(&self) -> bool {
        use std::os::unix::fs::MetadataExt;
        let own = std::fs::metadata("/proc/self").map(|about| about.uid());
        let table = std::fs::read_to_string("/proc/net/tcp");
        let (Ok(own), Ok(table)) = (own, table) else {
            return false;
        };
        // Whoever may do everything needs no address to look over a shoulder.
        owner(&table, self).is_some_and(|uid| uid != own && uid != 0)
    }

    #[cfg(not(target_os = "linux"))]
    pub fn is_another_user(&self) -> bool {
        false
    }
}

/// The user id of the socket at `peer.from`, in the table of `/proc/net/tcp` (proc_net_tcp in Linux' documentation).
#[cfg(target_os = "linux")]
fn owner(table: &str, peer: &Peer) -> Option<u32> {
    let (from, to) = (written(peer.from)?, written(peer.to)?);
    table.lines().find_map(|line| {
        let mut words = line.split_ascii_whitespace().skip(1);
        let ends = words.next()? == from && words.next()? == to;
        ends.then(|| words.nth(4)?.parse().ok()).flatten()
    })
}

/// An address as that table has it: the four bytes as one number of the machine's byte order, then the port.
#[cfg(target_os = "linux")]
fn written(address: SocketAddr) -> Option<String> {
    let SocketAddr::V4(address) = address else {
        return None;
    };
    let bytes = u32::from_ne_bytes(address.ip().octets());
    Some(format!("{bytes:08X}:{:04X}", address.port()))
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use std::net::{TcpListener, TcpStream};

    use super::*;

    #[test]
    fn the_table_tells_whose_socket_it_is() {
        let peer = Peer {
            from: ([127, 0, 0, 1], 41234).into(),
            to: ([127, 0, 0, 1], 8080).into(),
        };
        // Made by hand after a table of Linux 6; on this machine's byte order.
        let ip = format!("{:08X}", u32::from_ne_bytes([127, 0, 0, 1]));
        let table = format!(
            "  sl  local_address rem_address   st tx_queue rx_queue tr tm->when retrnsmt   uid  timeout inode\n   \
             0: {ip}:1F90 {ip}:A112 01 00000000:00000000 00:00000000 00000000  1000        0 1 1\n   \
             1: {ip}:A112 {ip}:1F90 01 00000000:00000000 00:00000000 00000000  1001        0 2 1\n"
        );
        assert_eq!(owner(&table, &peer), Some(1001));
        assert_eq!(owner("", &peer), None);
    }

    #[test]
    fn a_program_of_ones_own_is_no_other_user() {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let stream = TcpStream::connect(listener.local_addr().expect("bound")).expect("listening");
        let (_kept, from) = listener.accept().expect("a connection");
        let to = listener.local_addr().expect("bound");
        let peer = Peer { from, to };
        let table = std::fs::read_to_string("/proc/net/tcp").expect("Linux has it");
        assert!(owner(&table, &peer).is_some(), "{table}");
        assert!(!peer.is_another_user());
        drop(stream);
    }
}
