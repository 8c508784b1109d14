//! Reading scans with truth: right, unsure and wrong by condition and difficulty. Run with
//! `PAIRSIGHT_SCANS=folder cargo test --release --test reading -- --nocapture`.

mod scans;

use pairsight::colour::Model;
use pairsight::read::explain;
use pairsight::sight::Look;

#[test]
fn explore() {
    let Some(root) = scans::folder() else { return };
    let setups = scans::load(&root, &mut |image, picture| scans::true_look(image, picture));
    for profile in [true, false] {
        for subset in ["six", "corners", "all"] {
            let mut n = 0; let mut ok = 0;
            for setup in &setups {
                let model = if profile { Model::from_profile(&setup.profile) } else { Model::generic() };
                for scan in &setup.scans {
                    let looks: Vec<Look> = scan.looks.iter().filter(|(f, _)| match subset {
                        "six" => !f.starts_with('c'),
                        "corners" => f.starts_with('c'),
                        _ => true,
                    }).map(|(_, l)| l.clone()).collect();
                    let start = std::time::Instant::now();
                    let e = explain(&model, !profile, &looks);
                    let ms = start.elapsed().as_millis();
                    let truth = scans::cells(&scan.state);
                    let Some(best) = e.explanations.first() else { println!("{} none", scan.name); continue };
                    let right = best.state.colours() == truth;
                    n += 1; ok += right as usize;
                    let rival = e.explanations.get(1);
                    let margin = rival.map_or(99.0, |r| best.score - r.score).min(e.searched);
                    let truth_rank = e.explanations.iter().position(|x| x.state.colours() == truth);
                    let mut losses: Vec<f32> = Vec::new();
                    for (l, labels) in best.evidence.iter().zip(&best.labels) { for (t, ls) in l.faces.iter().zip(labels) { for (w, c) in t.iter().zip(ls) {
                        let m = w.iter().copied().fold(f32::NEG_INFINITY, f32::max);
                        losses.push(m - w[c.unwrap()]);
                    }}}
                    losses.sort_by(|a, b| b.total_cmp(a));
                    let true_state = pairsight::read::Arrangement::of(&scan.state.to_cube().unwrap_or_default());
                    if !right && let Some(t) = pairsight::read::explain_state(&model, !profile, &looks, &true_state) {
                        println!("WRONG {profile} {subset} {}: best {:.1} truth {:.1} centres {:?} true centres {:?} mirrored {}", scan.name, best.score, t.score,
                            best.supposition.placed.iter().flatten().map(|p| p.face).collect::<Vec<_>>(), t.supposition.placed.iter().flatten().map(|p| p.face).collect::<Vec<_>>(), t.supposition.mirrored);
                        for (e, who) in [(best, "best"), (&t, "truth")] { for ((l, labels), (name, look)) in e.evidence.iter().zip(&e.labels).zip(scan.looks.iter().filter(|(f, _)| match subset { "six" => !f.starts_with('c'), "corners" => f.starts_with('c'), _ => true })) { for (fi, (t, ls)) in l.faces.iter().zip(labels).enumerate() {
                            for (i, (w, c)) in t.iter().zip(ls).enumerate() {
                            let m = w.iter().copied().fold(f32::NEG_INFINITY, f32::max);
                            let p = look.faces[fi].patches[i / 3][i % 3];
                            if m - w[c.unwrap()] > 1.0 { println!("   {who} {name} face {fi} cell {i} label {} weights {:.1?} patch {:.3} {:.3} {:.3} spread {:.2} clip {:.2} agree {:.2}", c.unwrap(), w, p.rgb.red, p.rgb.green, p.rgb.blue, p.spread, p.clipped, p.agreeing); }
                        }}}}
                    }
                    println!("{profile} {subset} {} {} {:?}: right {right} (rank {truth_rank:?}) margin {margin:.1} searched {:.1} flaw {:?} mirrored {} legal {} losses {:.1?} sum {:.1} {} ms rival {:?}",
                        scan.name, scan.difficulty, scan.conditions, e.searched, best.flaw, best.supposition.mirrored, scan.legal, &losses[..4], losses.iter().sum::<f32>(), ms,
                        rival.map(|r| (r.flaw, r.supposition.mirrored, r.state.colours().iter().zip(&best.state.colours()).filter(|(a, b)| a != b).count())));
                }
            }
            println!("== profile {profile} {subset}: {ok}/{n}");
        }
    }
}
