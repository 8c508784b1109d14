//! Whether the entropy-coded data of a picture are all there: neither too few nor too many for its size.
//!
//! When a camera loses a packet, the picture still ends with its end marker, and a decoder goes on with whatever the
//! remaining bits mean: blocks move, colours drift. The codes alone (ITU-T T.81, Annex F.2.2) tell how many blocks there
//! are, at a fraction of the cost of decoding, and a gap of a packet's size leaves a wrong number.

use super::{Extent, JpegFault, code};

fn damaged(what: &str) -> JpegFault {
    JpegFault::Damaged(what.into())
}

/// Checks a picture coded in one pass, with all its components in one scan; others are left to the decoder.
pub(super) fn check(bytes: &[u8], extent: &Extent) -> Result<(), JpegFault> {
    let mut scans = extent.find(code::SCAN);
    let (Some(frame), Some(scan), None) = (extent.sequential(), scans.next(), scans.next()) else {
        return Ok(());
    };
    let frame = Frame::parse(&bytes[frame.content.clone()])?;
    let mut tables = [const { None }; 8];
    for segment in extent.find(code::HUFFMAN_TABLES) {
        read_tables(&bytes[segment.content.clone()], &mut tables)?;
    }
    let selectors = Selector::parse(&bytes[scan.content.clone()])?;
    if selectors.len() != frame.components.len() {
        return Ok(());
    }
    // The tables of each block of a minimum coded unit, in order.
    let mut blocks = Vec::new();
    for selector in &selectors {
        let component = frame.components.iter().find(|c| c.id == selector.id);
        let component = component.ok_or_else(|| damaged("a scan of unknown components"))?;
        let table = |slot: usize| {
            let table = tables[slot].as_ref();
            table.ok_or_else(|| damaged("a code table is missing"))
        };
        let pair = (table(selector.dc)?, table(4 + selector.ac)?);
        let count = if selectors.len() == 1 {
            1
        } else {
            component.blocks()
        };
        blocks.extend(std::iter::repeat_n(pair, count));
    }
    let interval = match extent.find(code::RESTART_INTERVAL).last() {
        Some(segment) => be16(&bytes[segment.content.clone()], 0)?,
        None => 0,
    };
    let mut bits = Bits::new(&bytes[scan.content.end..extent.len]);
    let units = frame.units(selectors.len() == 1);
    for unit in 0..units {
        if interval > 0 && unit > 0 && unit % u32::from(interval) == 0 {
            bits.restart()?;
        }
        for (dc, ac) in &blocks {
            bits.skip_block(dc, ac)?;
        }
    }
    bits.end()
}

fn be16(bytes: &[u8], at: usize) -> Result<u16, JpegFault> {
    let pair = bytes.get(at..at + 2).and_then(|b| b.try_into().ok());
    pair.map(u16::from_be_bytes)
        .ok_or_else(|| damaged("a segment is too short"))
}

/// A frame header (T.81, B.2.2).
struct Frame {
    width: u16,
    height: u16,
    components: Vec<Component>,
}

struct Component {
    id: u8,
    across: u8,
    down: u8,
}

impl Component {
    fn blocks(&self) -> usize {
        usize::from(self.across) * usize::from(self.down)
    }
}

impl Frame {
    fn parse(content: &[u8]) -> Result<Frame, JpegFault> {
        let too_short = || damaged("a segment is too short");
        let count = usize::from(*content.get(5).ok_or_else(too_short)?);
        let rest = content.get(6..6 + 3 * count).ok_or_else(too_short)?;
        let component = |c: &[u8]| Component {
            id: c[0],
            across: c[1] >> 4,
            down: c[1] & 15,
        };
        let components: Vec<Component> = rest.chunks_exact(3).map(component).collect();
        // At most 4 by 4 (T.81, table B.2).
        let is_legal = |c: &Component| (1..=4).contains(&c.across) && (1..=4).contains(&c.down);
        if components.is_empty() || !components.iter().all(is_legal) {
            return Err(damaged("impossible sampling of its components"));
        }
        Ok(Frame {
            height: be16(content, 1)?,
            width: be16(content, 3)?,
            components,
        })
    }

    /// How many minimum coded units cover the picture; one block each, if the picture has but one component.
    fn units(&self, single: bool) -> u32 {
        let most = |side: fn(&Component) -> u8| self.components.iter().map(side).max().unwrap_or(1);
        let (across, down) = match single {
            true => (1, 1),
            false => (most(|c| c.across), most(|c| c.down)),
        };
        let along = |side: u16, blocks: u8| u32::from(side).div_ceil(8 * u32::from(blocks));
        along(self.width, across) * along(self.height, down)
    }
}

/// Which tables a component of a scan uses (T.81, B.2.3).
struct Selector {
    id: u8,
    dc: usize,
    ac: usize,
}

impl Selector {
    fn parse(content: &[u8]) -> Result<Vec<Selector>, JpegFault> {
        let too_short = || damaged("a segment is too short");
        let count = usize::from(*content.first().ok_or_else(too_short)?);
        let pairs = content.get(1..1 + 2 * count).ok_or_else(too_short)?;
        let selector = |c: &[u8]| Selector {
            id: c[0],
            dc: usize::from(c[1] >> 4 & 3),
            ac: usize::from(c[1] & 3),
        };
        Ok(pairs.chunks_exact(2).map(selector).collect())
    }
}

/// Bits looked up at once; longer codes are rare and found one length after the other.
const FAST: u32 = 9;

/// A Huffman table for decoding (T.81, Annex F.2.2.3).
struct Table {
    /// For the next [`FAST`] bits: the length of the code they begin with, and its symbol. Length 0: a longer code.
    fast: [(u8, u8); 1 << FAST],
    /// For each length but 0: the first code, how many there are, and the first one's place in `symbols`.
    lengths: [(u32, u32, usize); 17],
    symbols: Vec<u8>,
}

/// Reads a segment of tables into their slots: four for DC, then four for AC.
fn read_tables(mut content: &[u8], tables: &mut [Option<Table>; 8]) -> Result<(), JpegFault> {
    while let Some((&id, rest)) = content.split_first() {
        let too_short = || damaged("a code table is too short");
        let (counts, rest) = rest.split_first_chunk::<16>().ok_or_else(too_short)?;
        let total = counts.iter().map(|&n| usize::from(n)).sum();
        let (symbols, rest) = rest.split_at_checked(total).ok_or_else(too_short)?;
        let slot = usize::from(id >> 4 & 1) * 4 + usize::from(id & 3);
        tables[slot] = Some(Table::new(counts, symbols)?);
        content = rest;
    }
    Ok(())
}

impl Table {
    fn new(counts: &[u8; 16], symbols: &[u8]) -> Result<Table, JpegFault> {
        let mut table = Table {
            fast: [(0, 0); 1 << FAST],
            lengths: [(0, 0, 0); 17],
            symbols: symbols.to_vec(),
        };
        let (mut code, mut place) = (0u32, 0);
        for (length, &count) in (1..).zip(counts) {
            let count = u32::from(count);
            if code + count > 1 << length {
                return Err(damaged("a code table has too many codes"));
            }
            table.lengths[length as usize] = (code, count, place);
            for _ in 0..count {
                if length <= FAST {
                    let shift = FAST - length;
                    let from = (code << shift) as usize;
                    table.fast[from..from + (1 << shift)].fill((length as u8, symbols[place]));
                }
                code += 1;
                place += 1;
            }
            code <<= 1;
        }
        Ok(table)
    }

    /// The length and the symbol of the code at the top of `ahead`, which holds the next 16 bits.
    #[inline]
    fn look_up(&self, ahead: u32) -> Option<(u32, u8)> {
        match self.fast[(ahead >> (16 - FAST)) as usize] {
            (0, _) => (FAST + 1..=16).find_map(|length| {
                let (first, count, place) = self.lengths[length as usize];
                let code = ahead >> (16 - length);
                let nth = code.checked_sub(first).filter(|nth| *nth < count)?;
                Some((length, self.symbols[place + nth as usize]))
            }),
            (length, symbol) => Some((u32::from(length), symbol)),
        }
    }
}

/// The bits of entropy-coded data, up to the next marker.
struct Bits<'a> {
    rest: &'a [u8],
    /// The next bits, the first at the top.
    ahead: u64,
    /// How many of them are real.
    count: u32,
}

impl<'a> Bits<'a> {
    fn new(rest: &'a [u8]) -> Self {
        Bits {
            rest,
            ahead: 0,
            count: 0,
        }
    }

    /// The next byte of data; `None` at a marker. A 0xff of the data is followed by a nought.
    fn byte(&mut self) -> Option<u8> {
        match self.rest {
            [0xff, 0x00, rest @ ..] => {
                self.rest = rest;
                Some(0xff)
            }
            [0xff, ..] | [] => None,
            [byte, rest @ ..] => {
                self.rest = rest;
                Some(*byte)
            }
        }
    }

    #[inline]
    fn fill(&mut self) {
        while self.count <= 56 {
            let Some(byte) = self.byte() else { return };
            self.ahead |= u64::from(byte) << (56 - self.count);
            self.count += 8;
        }
    }

    /// Steps over a code and the bits that belong to it: as many as its symbol's lower half says. Gives the symbol.
    #[inline]
    fn skip_symbol(&mut self, table: &Table) -> Result<u8, JpegFault> {
        // A code and its bits are 32 at most.
        if self.count < 32 {
            self.fill();
        }
        let ahead = (self.ahead >> 48) as u32;
        let (length, symbol) = table
            .look_up(ahead)
            .ok_or_else(|| damaged("an unknown code"))?;
        let used = length + u32::from(symbol & 15);
        if used > self.count {
            return Err(damaged("pixels are missing"));
        }
        self.ahead <<= used;
        self.count -= used;
        Ok(symbol)
    }

    #[inline]
    fn skip_block(&mut self, dc: &Table, ac: &Table) -> Result<(), JpegFault> {
        if self.skip_symbol(dc)? > 11 {
            return Err(damaged("an impossible brightness"));
        }
        let mut at = 1;
        while at < 64 {
            let symbol = self.skip_symbol(ac)?;
            match (symbol >> 4, symbol & 15) {
                (0, 0) => return Ok(()),
                (15, 0) => at += 16,
                (zeros, _) => at += 1 + u32::from(zeros),
            }
        }
        match at {
            64 => Ok(()),
            _ => Err(damaged("a block has too many values")),
        }
    }

    /// Steps over a restart marker, which must be here.
    fn restart(&mut self) -> Result<(), JpegFault> {
        self.end()?;
        let marker = self.rest.iter().position(|&b| b != 0xff).unwrap_or(0);
        match self.rest.get(marker) {
            Some(code) if marker > 0 && code::RESTART.contains(code) => {
                *self = Bits::new(&self.rest[marker + 1..]);
                Ok(())
            }
            _ => Err(damaged("pixels are missing")),
        }
    }

    /// Checks that nothing is left but padding: less than a byte, or bytes of noughts as some cameras add.
    fn end(&mut self) -> Result<(), JpegFault> {
        // Bits of the byte that the last code ends in may be anything.
        let mut left = self.ahead << (self.count % 8);
        while let Some(byte) = self.byte() {
            left |= u64::from(byte);
        }
        match left {
            0 => Ok(()),
            _ => Err(damaged("there is more than its pixels")),
        }
    }
}
