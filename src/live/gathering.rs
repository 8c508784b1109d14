//! Gathers what a profile is made of: the six faces of one cube under one light, whether it is solved or not.
//!
//! Faces of one colour each need no reading: their six colours name each other. Any other cube is read by general colours,
//! and once one legal state explains all six faces, every sticker is a sample of a known colour.

use super::labelled::{self, labelled};
use super::views::Views;
use crate::colour::{
    LightEstimate, LightReport, Model, Observation, Offered, Profile, SolvedFaces,
};
use crate::cube::Colour;
use crate::read::{Ask, Outcome, Reader, Reading};
use crate::sight::{Look, Patch};

/// The faces so far.
#[derive(Debug)]
pub struct Gathering {
    solved: SolvedFaces,
    views: Views,
    reading: Option<Reading>,
    /// The reading supposes that the pictures are mirrored, or that they are not: the colours are known, and not how they lie.
    supposed: bool,
    /// Why what was shown last is of no use.
    refused: Option<String>,
    /// A face was like one seen before.
    again: bool,
}

impl Default for Gathering {
    fn default() -> Self {
        Gathering {
            solved: SolvedFaces::default(),
            views: Views::lasting(),
            reading: None,
            supposed: false,
            refused: None,
            again: false,
        }
    }
}

impl Gathering {
    /// Takes the look of a camera's frame, `t` seconds into the stream; whether something held still in it.
    pub fn see(&mut self, t: f64, look: &Look) -> bool {
        let Some(at) = self.views.see(t, look).view else {
            return false;
        };
        let still = self.views.looks()[at].clone();
        self.offer(&still);
        self.read();
        true
    }

    /// Takes the look of a frame from a file, where photographs never hold still.
    pub fn see_file(&mut self, t: f64, look: &Look) {
        self.offer(look);
        self.see(t, look);
    }

    /// Takes in photographs, at the end of files in which nothing held still.
    pub fn end(&mut self) {
        match self.views.end() {
            Ok(true) => self.read(),
            Ok(false) => {}
            Err(too_many) => self.refused = Some(too_many.say()),
        }
    }

    fn offer(&mut self, look: &Look) {
        self.refused = None;
        for face in &look.faces {
            match self.solved.offer(&face.patches, face.score) {
                Offered::Full => {
                    self.refused = Some(
                        "that face looks like two others\nuse a whiter or brighter light".into(),
                    );
                }
                Offered::Known => self.again = true,
                Offered::New | Offered::NotOneColour => {}
            }
        }
    }

    /// Reads the views by general colours, and begins again where they cannot be one cube.
    fn read(&mut self) {
        let mut reader = Reader::new(None);
        self.views
            .looks()
            .iter()
            .for_each(|look| reader.add(look.clone()));
        let mut reading = reader.read();
        self.supposed = false;
        if reading.either_way {
            let mirrored = reading.looks.iter().any(|look| look.mirrored);
            let supposed = reader.mirrored(mirrored).read();
            if supposed.outcome == Outcome::Read {
                (reading, self.supposed) = (supposed, true);
            }
        }
        if reading.outcome == Outcome::Impossible && self.solved.count() < 6 {
            self.refused = Some(format!(
                "{}\nshow all faces again, and turn no layer meanwhile",
                reading.say
            ));
            self.solved = SolvedFaces::default();
            self.views.begin_again();
            self.reading = None;
            return;
        }
        self.reading = Some(reading);
    }

    /// The samples so far, each with its likeliest colour.
    pub fn samples(&self) -> Vec<(Patch, Colour)> {
        let medoids = self.solved.medoids();
        let read = self.read_centres();
        if medoids.len() < read.len()
            && let Some(reading) = &self.reading
        {
            return labelled(self.views.looks(), reading).concat();
        }
        let namings = Model::generic().name_centres(&medoids, &LightEstimate::drift());
        let colours = namings.into_iter().next().map(|naming| naming.colours);
        medoids
            .into_iter()
            .zip(colours.unwrap_or_default())
            .collect()
    }

    fn read_centres(&self) -> Vec<Colour> {
        let looks = self.reading.iter().flat_map(|reading| &reading.looks);
        let mut centres: Vec<Colour> = Vec::new();
        for face in looks.flat_map(|look| &look.faces) {
            if !centres.contains(&face.centre) {
                centres.push(face.centre);
            }
        }
        centres
    }

    /// Faces so far, 0 to 6.
    pub fn count(&self) -> usize {
        self.solved.count().max(self.read_centres().len())
    }

    /// The faces seen so far.
    pub fn seen(&self) -> Vec<Colour> {
        let read = self.read_centres();
        if self.solved.count() < read.len() {
            return read;
        }
        self.samples()
            .into_iter()
            .map(|(_, colour)| colour)
            .collect()
    }

    /// The profile.
    ///
    /// # Errors
    /// What is still to be shown, or why what was shown does not do, as sentences without a capital.
    pub fn profile(&self, name: &str) -> Result<Profile, String> {
        if self.solved.count() == 6 {
            return self.solved.profile(name).map_err(|error| error.to_string());
        }
        let read = self
            .reading
            .as_ref()
            .filter(|reading| reading.outcome == Outcome::Read);
        if let Some(reading) = read {
            return labelled::profile(name, self.views.looks(), reading, !self.supposed)
                .map_err(|error| error.to_string());
        }
        if let Some(refused) = &self.refused {
            return Err(refused.clone());
        }
        Err(match self.ask() {
            Some(ask) => ask.say.clone(),
            None => format!(
                "{} of 6 faces are seen: {}\nshow the cube corner by corner or face by face, and hold still; scrambled is better than solved",
                self.count(),
                self.not_told()
            ),
        })
    }

    /// What would settle the cube, where all of it was seen.
    fn ask(&self) -> Option<&Ask> {
        let reading = self.reading.as_ref()?;
        reading.ask.as_ref().filter(|_| reading.missing.is_empty())
    }

    /// Centres of the faces that are to be shown again before there is a profile.
    pub fn asked(&self) -> Vec<Colour> {
        let is_settled = self.solved.count() == 6 || self.refused.is_some();
        let ask = self.ask().filter(|_| !is_settled);
        ask.map(|ask| ask.show.clone()).unwrap_or_default()
    }

    /// Which colours were not told, or of which two one was taken for the other.
    fn not_told(&self) -> String {
        let seen = self.seen();
        let missing = Colour::ALL
            .into_iter()
            .filter(|colour| !seen.contains(colour));
        let missing: Vec<Colour> = missing.collect();
        let alike = |colour: Colour| match colour {
            Colour::Red => Some(Colour::Orange),
            Colour::Orange => Some(Colour::Red),
            _ => None,
        };
        let names: Vec<&str> = missing.iter().map(|colour| colour.name()).collect();
        match missing[..] {
            [] => "all colours were told, but not for sure".into(),
            [one] if self.again => match alike(one).filter(|other| seen.contains(other)) {
                Some(other) => {
                    format!(
                        "{} was not shown, or looks like {} here",
                        one.name(),
                        other.name()
                    )
                }
                None => format!(
                    "{} was not shown, or looks like another one here",
                    one.name()
                ),
            },
            _ => format!("still to be shown: {}", names.join(", ")),
        }
    }

    /// A profile of what was seen, where that is all but one colour of a solved cube, and what is to be said of it: the colour that is
    /// missing is taken to be of typical plastic.
    pub fn partial(&self, name: &str) -> Option<(Profile, String)> {
        if self.solved.count() != 5 {
            return None;
        }
        let profile = self.solved.partial(name)?;
        Some((profile, self.not_told()))
    }

    /// How well other colours tell the stickers apart in this light, once all six have been seen.
    pub fn judged_by(&self, model: &Model) -> Option<LightReport> {
        let observations: Vec<Observation> = self
            .samples()
            .into_iter()
            .map(|(patch, colour)| Observation { patch, colour })
            .collect();
        let all = Colour::ALL
            .iter()
            .all(|colour| observations.iter().any(|o| o.colour == *colour));
        all.then(|| model.judge_light(&model.fit_room(&observations, &LightEstimate::drift())))
    }
}
