//! A folder of photographs in place of a camera: nothing holds still in it, so all of it is kept and read at its end.

use crate::sight::Look;

/// A stream with more pictures of a cube than this is a film, in which only what holds still is evidence.
pub const MOST: usize = 16;

/// The looks with faces of a stream until something holds still in it.
#[derive(Debug, Default)]
pub struct Photographs {
    looks: Vec<Look>,
    /// Something held still, so it is a film.
    is_film: bool,
    too_many: bool,
}

/// More pictures than can be photographs of one state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooMany;

impl TooMany {
    /// What to do about it.
    pub fn say(self) -> String {
        format!(
            "The cube held still in none of the pictures. Give at most {MOST} photographs of one state, or a film in which the cube is held still for a moment."
        )
    }
}

impl Photographs {
    /// Keeps a look that shows a face.
    pub fn add(&mut self, look: &Look) {
        if self.is_film || look.faces.is_empty() {
            return;
        }
        if self.looks.len() == MOST {
            self.too_many = true;
            return;
        }
        self.looks.push(look.clone());
    }

    /// Something held still: what was kept is of no use, and nothing more will be kept.
    pub fn held_still(&mut self) {
        self.is_film = true;
        self.looks.clear();
    }

    /// The photographs, at the end of the stream; none of a film.
    ///
    /// # Errors
    /// Where there are more than photographs can be.
    pub fn take(&mut self) -> Result<Vec<Look>, TooMany> {
        let looks = std::mem::take(&mut self.looks);
        if self.too_many && !self.is_film {
            return Err(TooMany);
        }
        Ok(looks)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::testing::look;

    fn kept(count: usize) -> Result<usize, TooMany> {
        let mut photographs = Photographs::default();
        (0..count).for_each(|i| photographs.add(&look(i as f32, 0)));
        photographs.take().map(|looks| looks.len())
    }

    #[test]
    fn a_folder_of_sixteen_photographs_is_read_and_of_more_it_is_said_what_to_do() {
        assert_eq!(kept(0), Ok(0));
        assert_eq!(kept(MOST), Ok(MOST));
        assert_eq!(kept(MOST + 1), Err(TooMany));
    }

    #[test]
    fn of_a_film_no_photographs_are_left() {
        let mut photographs = Photographs::default();
        photographs.add(&look(0.0, 0));
        photographs.held_still();
        (0..=MOST).for_each(|i| photographs.add(&look(i as f32, 0)));
        assert_eq!(photographs.take().map(|looks| looks.len()), Ok(0));
    }
}
