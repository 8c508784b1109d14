//! The two nets, as `training/` left them, and how they are run: on one core, by rten.

use std::fmt;
use std::sync::{Arc, LazyLock};

use rten::{Model, RunOptions, ThreadPool, ValueView};

static FINDER: LazyLock<Model> = LazyLock::new(|| load(include_bytes!("weights/finder.onnx")));
static JUDGE: LazyLock<Model> = LazyLock::new(|| load(include_bytes!("weights/judge.onnx")));

fn load(bytes: &'static [u8]) -> Model {
    Model::load_static_slice(bytes).expect("the program carries nets that load")
}

/// Runs the nets. Whoever has one of his own does not wait for others.
pub struct Nets {
    options: RunOptions,
}

impl Nets {
    /// What the finder net makes of a picture of three planes: a map, as [`peaks`](super::peaks::peaks) reads it.
    pub fn find(&self, planes: &[f32], height: usize, width: usize) -> Vec<f32> {
        self.run(&FINDER, &[1, 3, height, width], planes)
    }

    /// What the judge net makes of so many patches, as [`judge`](super::judge::judge) reads it.
    pub fn judge(&self, patches: &[f32], count: usize, side: usize) -> Vec<f32> {
        self.run(&JUDGE, &[count, 3, side, side], patches)
    }

    fn run(&self, model: &Model, shape: &[usize], values: &[f32]) -> Vec<f32> {
        let input = ValueView::from_shape(shape, values).expect("as many values as the shape says");
        let output = model
            .run_one(input.into(), Some(self.options.clone()))
            .expect("a net takes what it was trained on");
        let output = output
            .into_tensor::<f32>()
            .expect("a net gives numbers of the kind that it takes");
        output.into_data()
    }
}

impl Default for Nets {
    fn default() -> Self {
        let pool = Arc::new(ThreadPool::with_num_threads(1));
        Nets {
            options: RunOptions::default().with_thread_pool(Some(pool)),
        }
    }
}

impl fmt::Debug for Nets {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Nets")
    }
}
