"""Trains both nets together on drawn pictures:

    pip install torch onnx opencv-python-headless scikit-image scikit-learn
    python photographs.py PHOTOGRAPHS && python train.py PHOTOGRAPHS OUT

The weights beside this folder are the running mean after 69,445 steps of 120 pictures in four runs on one GPU (--seed 2
--minutes 16.6, stopped after 7,300; --seed 7 --draw 0.6 --minutes 23.5, 21,160; --seed 11 --draw 0.5 --minutes 23.3, 19,764,
with faces that are near or blurred; --seed 13 --draw 0.5 --minutes 23.3, 21,225, with faces up to 77 degrees away; each from
the weights of the one before, --batch 120; PyTorch 2.11).

Pictures are drawn first, by worker processes, and kept in the accelerator's memory; each is used many times, turned over and as
another webcam takes it. The judge learns on what the finder proposes at that time, so its mistakes are its own lessons. OUT gets
finder.onnx and judge.onnx, every two minutes, so that a run that is cut short can be gone on from, and at last report.json (how scores
relate to being right, on photographs not trained on).
"""

import argparse
import copy
import json
import os
import pathlib
import threading
import time

import cv2
import numpy as np
import torch
import torch.nn.functional as F

import nets
import scene
import webcam

MOST = 12  # labels kept of one picture
SEEN = 6  # places that the judge sees of one picture
BATCH = 64

# Mean distance of corners, in cells, up to which a quad counts as its face, and from which it does not.
NEAR, FAR = 0.35, 0.8
# Standard deviation of a blur, in cells, up to which a face is still to be found.
BLURRED = 0.36


def load(folder):
    return [cv2.imread(str(p)) for p in sorted(pathlib.Path(folder).glob("*.jpg"))]


class Scenes(torch.utils.data.IterableDataset):
    def __init__(self, folder, part, seed):
        self.folder, self.part, self.seed = pathlib.Path(folder), part, seed

    def __iter__(self):
        # Whoever trains goes first.
        os.nice(15)
        cv2.setNumThreads(1)
        photographs, flats = load(self.folder / self.part), load(self.folder / f"drawn-{self.part}")
        info = torch.utils.data.get_worker_info()
        r = np.random.default_rng([self.seed, info.id if info else 0])
        while True:
            try:
                picture, labels = scene.scene(r, photographs, flats)
            except (cv2.error, FloatingPointError, ZeroDivisionError):
                continue
            r.shuffle(labels)
            labels.sort(key=lambda label: -label[1])
            labels = [l for l in labels if np.isfinite(l[0]).all() and np.abs(l[0]).max() < 3000][:MOST]
            quads = np.full((MOST, 4, 2), -9e3, np.float32)
            kinds = np.full(MOST, 9, np.int64)
            covered = np.zeros((MOST, 9), np.float32)
            for i, (corners, kind, cover) in enumerate(labels):
                # Pixels are drawn about whole numbers, and read about halves.
                quads[i], kinds[i], covered[i] = corners + 0.5, kind, cover
            yield np.ascontiguousarray(picture[:, :, ::-1].transpose(2, 0, 1)), quads, kinds, covered


class Store:
    """Pictures on the accelerator, filled by a thread."""

    def __init__(self, loader, size, device):
        self.pictures = torch.empty(size, 3, scene.HEIGHT, scene.WIDTH, dtype=torch.uint8, device=device)
        self.quads = torch.empty(size, MOST, 4, 2, device=device)
        self.kinds = torch.empty(size, MOST, dtype=torch.long, device=device)
        self.covered = torch.empty(size, MOST, 9, device=device)
        self.made, self.size, self.on = 0, size, True
        # Here and not in the thread: a process must not be split while a thread of it computes.
        self.batches = iter(loader)
        self.thread = threading.Thread(target=self.fill, daemon=True)

    def fill(self):
        for pictures, quads, kinds, covered in self.batches:
            if not self.on or self.made >= self.size:
                return
            at = slice(self.made, min(self.size, self.made + len(pictures)))
            self.pictures[at] = pictures[: self.size - self.made].to(self.pictures.device)
            self.quads[at], self.kinds[at], self.covered[at] = (part[: self.size - self.made] for part in (quads, kinds, covered))
            self.made = min(self.size, self.made + len(pictures))

    def stop(self):
        self.on = False
        self.thread.join()
        self.batches = None

    def draw(self, count):
        """A batch, some of it turned over, as a webcam takes it."""
        at = torch.randint(0, self.made, (count,), device=self.pictures.device)
        pictures = self.pictures[at].float() / 255
        quads, kinds, covered = self.quads[at], self.kinds[at], self.covered[at]
        over = torch.rand(count, device=at.device)[:, None, None, None] < 0.5
        pictures = torch.where(over, pictures.flip(3), pictures)
        turned = quads[:, :, [1, 0, 3, 2]]
        quads = torch.where(over, torch.stack([scene.WIDTH - turned[..., 0], turned[..., 1]], -1), quads)
        covered = torch.where(over[..., 0], covered.reshape(-1, MOST, 3, 3).flip(3).flatten(2), covered)
        # Shifted by whole pixels, so that a middle does not always lie on the same cells.
        by = (int(torch.randint(-8, 9, ())), int(torch.randint(-8, 9, ())))
        pictures = pictures.roll(by, (2, 3))
        quads = quads + quads.new_tensor([by[1], by[0]])
        pictures, blurred = webcam.taken(pictures)
        pictures = pictures - 0.5
        # Some are seen from twice as far, with nothing around: there what reaches out of the picture is a face, too.
        few = count // 8
        small = F.avg_pool2d(pictures[:few], 2)
        pictures[:few] = 0
        left, top = (int(torch.randint(0, side // 4 + 1, ())) * 2 for side in (scene.WIDTH, scene.HEIGHT))
        pictures[:few, :, top : top + small.shape[2], left : left + small.shape[3]] = small
        quads[:few] = torch.where(quads[:few] < -8e3, quads[:few], quads[:few] / 2 + quads.new_tensor([left, top]))
        blurred[:few] = blurred[:few] / 2
        kinds = kinds.clone()
        kinds[:few] = torch.where(kinds[:few] == scene.CUT, scene.FACE, kinds[:few])
        return pictures, quads, clear_kinds(kinds, quads, blurred), covered


def clear_kinds(kinds, quads, blurred):
    """Kinds of labels once it is seen how a picture was taken: nobody tells a face by what is blurred over a third of a cell."""
    cell = nets.sides(quads.flatten(0, 1)).reshape(kinds.shape) / 3
    lost = (kinds == scene.CUT) | ((kinds == scene.FACE) & (blurred[:, None] > BLURRED * cell))
    return torch.where(lost, scene.UNTOLD, kinds)


def heat_targets(quads, kinds, height, width):
    """Heat, where it counts, and what to regress at each cell of the finder's output. Quads in pixels of its input."""
    n = len(quads)
    device = quads.device
    y, x = torch.meshgrid(torch.arange(height, device=device), torch.arange(width, device=device), indexing="ij")
    cells = torch.stack([x, y], -1).float() * 4 + 2
    centre = quads.mean(2)
    side = nets.sides(quads.flatten(0, 1)).reshape(n, MOST)
    near = ((cells[None, None] - centre[:, :, None, None]) ** 2).sum(-1)
    spread = (side * 0.09).clamp(min=4.0)
    bell = torch.exp(-near / (2 * spread[:, :, None, None] ** 2))
    is_face = (kinds == scene.FACE)[:, :, None, None]
    untold = (kinds == scene.UNTOLD)[:, :, None, None]
    bell_faces = bell * is_face
    heat, which = bell_faces.max(1)
    # The cell nearest to each middle is its peak.
    at = (centre / 4).floor().long()
    ok = (kinds == scene.FACE) & (at[..., 0] >= 0) & (at[..., 1] >= 0) & (at[..., 0] < width) & (at[..., 1] < height)
    number = (at[..., 1] * width + at[..., 0]).clamp(0, height * width - 1)
    peak = torch.zeros(n, height * width, device=device).scatter_add(1, number, ok.float()).reshape(heat.shape) > 0
    image = torch.arange(n, device=device)[:, None].expand(-1, MOST)
    counts = ~((near < (side * 0.45)[:, :, None, None] ** 2) & untold).any(1) | peak
    own = quads[image[:, :, None, None].expand(-1, -1, height, width)[:, 0], which]
    code = nets.encode(own - cells[None, :, :, None])
    return heat, peak, counts, code, side.gather(1, which.flatten(1)).reshape(which.shape)


def finder_loss(out, quads, kinds):
    heat, peak, counts, code, side = heat_targets(quads, kinds, *out.shape[2:])
    logit = out[:, 0].float()
    p = torch.sigmoid(logit).clamp(1e-5, 1 - 1e-5)
    hit = -((1 - p) ** 2) * torch.log(p) * peak
    miss = -((1 - heat) ** 4) * p**2 * torch.log(1 - p) * (~peak & counts)
    number = peak.sum().clamp(min=1)
    weight = torch.where(heat > 0.4, heat, torch.zeros_like(heat))
    off = (out[:, 1:].float().permute(0, 2, 3, 1) * 16 - code).abs().sum(-1) / side.clamp(min=8)
    return (hit.sum() + miss.sum()) / number, (off * weight).sum() / weight.sum().clamp(min=1)


def matched(quads, which, truth, kinds):
    """For quads [n, 4, 2] in pictures `which`: distance (cells) to the nearest face, its corners in the quad's order, its number; and the
    distance to the nearest place that does not count."""
    all_truth, all_kinds = truth[which], kinds[which]
    cell = nets.sides(all_truth.flatten(0, 1)).reshape(all_kinds.shape) / 3
    rolled = torch.stack([all_truth.roll(-k, 2) for k in range(4)], 2)
    off = (quads[:, None, None] - rolled).norm(dim=-1).mean(-1) / cell[..., None].clamp(min=1)
    off, roll = off.min(2)
    none = torch.full_like(off, 1e3)
    face, number = torch.where(all_kinds == scene.FACE, off, none).min(1)
    untold = torch.where(all_kinds == scene.UNTOLD, off, none).min(1).values
    rows = torch.arange(len(quads), device=quads.device)
    roll = roll[rows, number]
    return face, untold, rolled[rows, number, roll], number, roll


def judge_loss(out, quads, good, which, truth, kinds, covered):
    face, untold, corners, number, roll = matched(quads, which, truth, kinds)
    out = out.float()
    is_face, is_none = good & (face < NEAR), good & (face > FAR) & (untold > 1.5)
    told = is_face | is_none
    # What is far off its face can't be put right and is no face.
    score = F.binary_cross_entropy_with_logits(out[:, 0], is_face.float(), reduction="none")
    score = (score * told).sum() / told.sum().clamp(min=1)
    back = torch.linalg.inv_ex(nets.homography(quads)).inverse
    goal = nets.mapped(back, corners) - nets.CORNERS.to(quads)
    close = good & (face < 1.0) & (goal.abs().amax((1, 2)) < 2.0)
    off = F.smooth_l1_loss(out[:, 1:9].reshape(-1, 4, 2), goal, beta=0.05, reduction="none").mean((1, 2))
    off = (off * close).sum() / close.sum().clamp(min=1)
    cover = covered[which, number].reshape(-1, 3, 3)
    cover = torch.stack([torch.rot90(cover, k, (1, 2)) for k in range(4)], 1)[torch.arange(len(quads), device=quads.device), roll].flatten(1)
    hidden = F.binary_cross_entropy_with_logits(out[:, 9:], (cover > 0.25).float(), reduction="none").mean(1)
    hidden = (hidden * is_face).sum() / is_face.sum().clamp(min=1)
    return score, off, hidden


def places(out, quads, kinds):
    """What the judge is shown: the finder's proposals, true faces moved a little or much, and what is known to be none."""
    n = len(quads)
    device = quads.device
    found, _ = nets.proposals(out.detach(), SEEN)
    found = found * 2
    number = torch.randint(0, MOST, (n, SEEN), device=device)
    faces = (kinds == scene.FACE).sum(1, keepdim=True).clamp(min=1)
    number[:, :5] = (kinds == scene.FACE).int().argsort(1, descending=True).gather(1, number[:, :5] % faces)
    own = quads.gather(1, number[..., None, None].expand(-1, -1, 4, 2)).clone()
    empty = kinds.gather(1, number) == 9
    centre = torch.rand(n, SEEN, 1, 2, device=device) * torch.tensor([scene.WIDTH, scene.HEIGHT], device=device)
    chance = centre + (nets.CORNERS.to(device) * torch.exp(torch.rand(n, SEEN, 1, 1, device=device) * 2.3 + 2.2))
    own = torch.where(empty[..., None, None], chance, own)
    middle = own.mean(2, keepdim=True)
    cell = nets.sides(own.flatten(0, 1)).reshape(n, SEEN, 1, 1) / 3
    much = torch.rand(n, SEEN, 1, 1, device=device)
    much = torch.where(much < 0.4, 0.05, torch.where(much < 0.85, 0.22, 0.9))
    angle = torch.randn(n, SEEN, device=device) * much[..., 0, 0] * 0.45
    c, s = angle.cos(), angle.sin()
    rotation = torch.stack([torch.stack([c, -s], -1), torch.stack([s, c], -1)], -2)
    away = (own - middle) @ rotation.transpose(-1, -2) * torch.exp(torch.randn(n, SEEN, 1, 1, device=device) * much * 0.4)
    own = middle + away + cell * much * (torch.randn(n, SEEN, 1, 2, device=device) + 0.6 * torch.randn(n, SEEN, 4, 2, device=device))
    return torch.cat([found, own], 1)


def sound(quads):
    """Quads that can be rectified: finite, turning one way, not tiny."""
    d = quads.roll(-1, -2) - quads
    crosses = d[..., 0] * d.roll(-1, -2)[..., 1] - d[..., 1] * d.roll(-1, -2)[..., 0]
    cell = d.norm(dim=-1).amin(-1)
    return torch.isfinite(quads).all(-1).all(-1) & (crosses > 4).all(-1) & (cell > 6) & (quads.abs().amax((-1, -2)) < 2e3)


def kept(quads, instead):
    """Quads, with others in place of those that can't be rectified; and which can."""
    good = sound(quads)
    instead = torch.where(sound(instead + torch.zeros_like(quads))[:, None, None], instead, nets.CORNERS.to(quads) * 10 + 100)
    return torch.where(good[:, None, None], quads, instead), good


class Mean:
    """The running mean of a net's weights, which does better than any single state of it."""

    def __init__(self, net, keep=0.999):
        self.net, self.keep = copy.deepcopy(net).eval(), keep

    @torch.no_grad()
    def update(self, net, steps):
        keep = min(self.keep, 1 - 1 / (steps + 2))
        pairs = zip(self.net.state_dict().values(), net.state_dict().values())
        mine, other = zip(*((a, b) for a, b in pairs if a.dtype.is_floating_point))
        torch._foreach_lerp_(list(mine), list(other), 1 - keep)


@torch.no_grad()
def found(finder, judge, pictures, most=SEEN, steps=2):
    """What both nets make of pictures: quads [n, most, 4, 2], scores, heats."""
    levels = nets.pyramid(pictures)
    out = finder(levels[1])
    quads, heat = nets.proposals(out, most)
    quads = (quads * 2).flatten(0, 1)
    which = torch.arange(len(pictures), device=pictures.device).repeat_interleave(most)
    good = sound(quads)
    score = torch.full((len(quads),), -20.0, device=quads.device)
    quads = torch.where(good[:, None, None], quads, nets.CORNERS.to(quads) * 10 + 100)
    for _ in range(steps):
        out = judge(nets.patches(levels, which, quads))
        score = torch.where(good, out[:, 0], score)
        new = nets.moved(quads, out[:, 1:9])
        quads = torch.where(sound(new)[:, None, None], new, quads)
    n = len(pictures)
    return quads.reshape(n, most, 4, 2), score.reshape(n, most), heat, out.reshape(n, most, -1)


@torch.no_grad()
def report(finder, judge, store):
    """Faces found, false ones and the reliability of scores on pictures with photographs that were not trained on."""
    right, total, off_total, pairs, empty = 0, 0, 0.0, [], []
    seen = store.made // 100 * 100
    for at in range(0, seen, 100):
        pictures, blurred = webcam.taken(store.pictures[at : at + 100].float() / 255)
        pictures, truth = pictures - 0.5, store.quads[at : at + 100]
        kinds = clear_kinds(store.kinds[at : at + 100], truth, blurred)
        quads, score, _, _ = found(finder, judge, pictures)
        which = torch.arange(len(pictures), device=pictures.device).repeat_interleave(SEEN)
        face, untold, _, number, _ = matched(quads.flatten(0, 1), which, truth, kinds)
        without = ((kinds == scene.NONE) | (kinds == 9)).all(1)
        empty.append(score[without].max(1).values)
        score = score.flatten()
        is_face = face < NEAR
        told = is_face | (untold > 1.0)
        pairs.append(torch.stack([score[told], is_face[told].float()], 1))
        hit = torch.zeros(len(pictures), MOST, dtype=torch.bool, device=pictures.device)
        good = is_face & (score > 0)
        hit[which[good], number[good]] = True
        right += hit.sum().item()
        off_total += face[good].sum().item()
        total += (kinds == scene.FACE).sum().item()
    pairs, empty = torch.cat(pairs).cpu(), torch.cat(empty).cpu()
    curve = []
    for low in range(-8, 12, 2):
        inside = (pairs[:, 0] >= low) & (pairs[:, 0] < low + 2)
        curve.append([low, int(inside.sum()), float(pairs[inside, 1].mean()) if inside.any() else None])
    wrong = int(((pairs[:, 0] > 0) & (pairs[:, 1] == 0)).sum())
    counted = max(1, int(((pairs[:, 0] > 0) & (pairs[:, 1] == 1)).sum()))
    without = {str(least): int((empty > least).sum()) for least in range(0, 7)} | {"pictures": len(empty)}
    return {"pictures": seen, "faces": total, "found": right, "false": wrong, "corner_error_cells": off_total / counted, "curve": curve, "without a cube, a score above": without}


def folded(net):
    """The net with its normalisations taken into the convolutions before them."""
    net = copy.deepcopy(net).cpu().eval()
    for module in list(net.modules()):
        if isinstance(module, torch.nn.Sequential):
            for i in range(len(module) - 1):
                if isinstance(module[i], torch.nn.Conv2d) and isinstance(module[i + 1], torch.nn.BatchNorm2d):
                    module[i] = torch.nn.utils.fuse_conv_bn_eval(module[i], module[i + 1])
                    module[i + 1] = torch.nn.Identity()
    return net


def unfolded(net, path, run):
    """Gives a net the weights of an exported file, in which normalisations are folded away. Each gets the mean and the spread that it
    meets in `run(net)`, and puts them back: the net computes what the file does, and can be trained on."""
    import onnx
    from onnx import numpy_helper

    stored = {one.name: torch.tensor(numpy_helper.to_array(one)) for one in onnx.load(path).graph.initializer}
    hooks = []

    def set_up(bias):
        def hook(norm, inputs):
            x = inputs[0].float()
            mean, var = x.mean((0, 2, 3)), x.var((0, 2, 3), unbiased=False)
            norm.running_mean.copy_(mean)
            norm.running_var.copy_(var)
            norm.weight.data.copy_((var + norm.eps).sqrt())
            norm.bias.data.copy_(bias.to(mean) + mean)
        return hook

    for name, module in net.named_modules():
        if isinstance(module, torch.nn.Sequential):
            for i, (conv, norm) in enumerate(zip(module[:-1], module[1:])):
                if isinstance(norm, torch.nn.BatchNorm2d):
                    conv.weight.data.copy_(stored.pop(f"{name}.{i}.weight"))
                    hooks.append(norm.register_forward_pre_hook(set_up(stored.pop(f"{name}.{i}.bias"))))
    for name, values in net.named_parameters():
        if name in stored:
            values.data.copy_(stored.pop(name))
    if stored:
        raise ValueError(f"{path} has weights that the net lacks: {sorted(stored)}")
    with torch.no_grad():
        run(net.train())
    for hook in hooks:
        hook.remove()


def export(finder, judge, out):
    out.mkdir(parents=True, exist_ok=True)
    torch.onnx.export(folded(finder), torch.zeros(1, 3, 192, 256), out / "finder.onnx", input_names=["picture"], output_names=["map"], dynamic_axes={"picture": {2: "h", 3: "w"}, "map": {2: "h4", 3: "w4"}}, opset_version=17, dynamo=False)
    torch.onnx.export(folded(judge), torch.zeros(8, 3, 64, 64), out / "judge.onnx", input_names=["patches"], output_names=["verdicts"], dynamic_axes={"patches": {0: "n"}, "verdicts": {0: "n"}}, opset_version=17, dynamo=False)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("photographs")
    parser.add_argument("out", type=pathlib.Path)
    parser.add_argument("--draw", type=float, default=1, help="minutes of drawing alone")
    parser.add_argument("--minutes", type=float, default=20, help="minutes of training, and of drawing beside it, after that")
    parser.add_argument("--held", type=int, default=6000, help="pictures to judge by")
    parser.add_argument("--workers", type=int, default=max(1, (os.cpu_count() or 2) - 3))
    parser.add_argument("--keep", type=int, default=170000, help="most pictures kept in the accelerator's memory, 0.6 MB each")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--from", dest="start", type=pathlib.Path, help="folder of finder.onnx and judge.onnx to go on from")
    parser.add_argument("--batch", type=int, default=BATCH)
    args = parser.parse_args()
    started = time.time()
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.manual_seed(args.seed)
    if device.type == "cuda":
        torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
        torch.backends.cudnn.benchmark = True

    def store(part, seed, workers, size):
        data = Scenes(args.photographs, part, seed)
        return Store(torch.utils.data.DataLoader(data, batch_size=16, num_workers=workers, prefetch_factor=4), size, device)

    held = store("held-out", args.seed + 1000, 1, args.held)
    store = store("seen", args.seed, args.workers, args.keep)
    held.thread.start()
    store.thread.start()
    while store.made < args.keep and time.time() - started < 60 * args.draw:
        time.sleep(0.2)
    print(f"{time.time() - started:.0f} s: {store.made} pictures drawn", flush=True)
    finder, judge = nets.Finder().to(device), nets.Judge().to(device)
    if args.start:
        pictures, quads, kinds, _ = store.draw(400)
        levels = nets.pyramid(pictures)
        unfolded(finder, args.start / "finder.onnx", lambda net: net(levels[1]))
        with torch.no_grad():
            seen, _ = kept(places(finder(levels[1]), quads, kinds).flatten(0, 1), quads.new_zeros(()))
        which = torch.arange(len(pictures), device=device).repeat_interleave(2 * SEEN)
        unfolded(judge, args.start / "judge.onnx", lambda net: net(nets.patches(levels, which, seen)))
    means = Mean(finder), Mean(judge)
    weights = [*finder.parameters(), *judge.parameters()]
    best = 1.5e-3 if args.start else 3e-3
    optimiser = torch.optim.AdamW(weights, lr=best, weight_decay=0.02, fused=device.type == "cuda")
    step, last, kept_at, begun = 0, 0.0, time.time(), time.time()
    while True:
        share = (time.time() - begun) / (60 * args.minutes)
        if share >= 1:
            break
        warm = min(1.0, step / 300)
        rate = best * warm * (0.5 * (1 + np.cos(np.pi * share)) * 0.98 + 0.02)
        for group in optimiser.param_groups:
            group["lr"] = rate
        pictures, quads, kinds, covered = store.draw(args.batch)
        levels = nets.pyramid(pictures)
        out = finder(levels[1])
        heat, corners = finder_loss(out, quads / 2, kinds)
        seen = places(out, quads, kinds).flatten(0, 1)
        which = torch.arange(len(pictures), device=device).repeat_interleave(2 * SEEN)
        # As many patches in each step: for a new number every convolution would be tuned anew.
        seen, good = kept(seen, seen.new_zeros(()))
        first = judge(nets.patches(levels, which, seen))
        losses = judge_loss(first, seen, good, which, quads, kinds, covered)
        again, well = kept(nets.moved(seen, first[:, 1:9].detach().float()), seen)
        good = good & well
        second = judge(nets.patches(levels, which, again))
        losses2 = judge_loss(second, again, good, which, quads, kinds, covered)
        judged = sum(a + 2 * b for a, b in zip((losses[0], losses[2] * 0.3), (losses2[0], losses2[2] * 0.3))) + 4 * (losses[1] + 3 * losses2[1])
        loss = heat + 0.5 * corners + judged
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(weights, 5.0)
        optimiser.step()
        for mean, net in zip(means, (finder, judge)):
            mean.update(net, step)
        step += 1
        if time.time() - last > 20:
            last = time.time()
            print(f"{time.time() - started:5.0f} s, step {step}, made {store.made}, heat {heat.item():.3f}, corners {corners.item():.3f}, score {losses[0].item():.3f} {losses2[0].item():.3f}, off {losses[1].item():.4f} {losses2[1].item():.4f}, covered {losses2[2].item():.3f}", flush=True)
        if time.time() - kept_at > 120:
            kept_at = time.time()
            export(means[0].net, means[1].net, args.out)
    store.stop()
    held.stop()
    result = report(means[0].net, means[1].net, held) | {"steps": step, "made": store.made, "minutes": args.minutes}
    export(means[0].net, means[1].net, args.out)
    (args.out / "report.json").write_text(json.dumps(result, indent=1))
    print(json.dumps(result))
    os._exit(0)  # workers that still draw


if __name__ == "__main__":
    main()
