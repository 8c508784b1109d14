"""The two nets: a finder on the whole picture and a judge on one rectified patch, and the geometry between them."""

import torch
import torch.nn.functional as F
from torch import nn

# Cells from a face's middle to the sides of what the judge sees, and the patch's side in pixels.
REACH, PATCH = 2.25, 64
# A face's corners in its own plane, in cells, clockwise.
CORNERS = torch.tensor([(-1.5, -1.5), (1.5, -1.5), (1.5, 1.5), (-1.5, 1.5)])


def conv(inputs, outputs, stride=1, size=3):
    return nn.Sequential(nn.Conv2d(inputs, outputs, size, stride, size // 2, bias=False), nn.BatchNorm2d(outputs), nn.ReLU())


class Block(nn.Module):
    def __init__(self, channels):
        super().__init__()
        self.first = conv(channels, channels)
        self.second = nn.Sequential(nn.Conv2d(channels, channels, 3, 1, 1, bias=False), nn.BatchNorm2d(channels))

    def forward(self, x):
        return F.relu(x + self.second(self.first(x)))


class Finder(nn.Module):
    """[n, 3, h, w] (RGB / 255 - 0.5; h, w multiples of 32) to [n, 9, h / 4, w / 4]: see `encode` for the eight after the heat."""

    def __init__(self):
        super().__init__()
        self.stem = nn.Sequential(conv(3, 16, 2), conv(16, 24, 2), conv(24, 24))
        self.eighth = nn.Sequential(conv(24, 40, 2), Block(40))
        self.sixteenth = nn.Sequential(conv(40, 56, 2), Block(56), Block(56))
        self.last = nn.Sequential(conv(56, 48, 2), Block(48))
        self.up = nn.ModuleList([conv(48, 56, size=1), conv(56, 40, size=1), conv(40, 24, size=1)])
        self.merge = nn.ModuleList([conv(56, 56), conv(40, 40), conv(24, 32)])
        self.head = nn.Conv2d(32, 9, 1)
        nn.init.constant_(self.head.bias[:1], -4.0)

    def forward(self, x):
        fine = [self.stem(x)]
        for stage in (self.eighth, self.sixteenth, self.last):
            fine.append(stage(fine[-1]))
        out = fine.pop()
        for up, merge in zip(self.up, self.merge):
            out = merge(fine.pop() + F.interpolate(up(out), scale_factor=2, mode="nearest"))
        return self.head(out)


class Judge(nn.Module):
    """[n, 3, 64, 64] to [n, 18]: log-odds that it is a face, corrections of the corners in cells, log-odds that a sticker is covered."""

    def __init__(self):
        super().__init__()
        self.body = nn.Sequential(conv(3, 16, 2), conv(16, 32, 2), conv(32, 48, 2), Block(48), Block(48), conv(48, 56, 2))
        self.head = nn.Sequential(nn.Flatten(), nn.Linear(56 * 16, 48), nn.ReLU(), nn.Linear(48, 18))

    def forward(self, x):
        return self.head(self.body(x))


def encode(corners):
    """[..., 4, 2] corners relative to a point to [..., 8]: their discrete Fourier coefficients, turned so that it does not
    matter which corner is the first (shifting the corners by one multiplies coefficient m by i^m). Pixels."""
    c = torch.view_as_complex(corners.contiguous())
    c0, c1, c2, c3 = torch.fft.fft(c, dim=-1).unbind(-1)
    c0, c1, c2, c3 = c0 / 4, c1 / 4, c2 / 4, c3 / 4
    size = c1.abs().clamp(min=1e-6)
    unit = c1 / size
    parts = torch.stack([c0, c1 * unit**3, c2 * unit.conj() ** 2, c3 * unit], -1)
    return torch.view_as_real(parts).flatten(-2)


def decode(code):
    """The inverse of `encode`, up to which corner is first."""
    c0, d1, d2, d3 = torch.view_as_complex(code.reshape(*code.shape[:-1], 4, 2).contiguous()).unbind(-1)
    unit = torch.polar(torch.ones_like(d1.abs()), d1.angle() / 4)
    parts = torch.stack([c0, d1.abs() * unit, d2 * unit**2, d3 * unit.conj()], -1)
    return torch.view_as_real(torch.fft.ifft(parts * 4, dim=-1))


def homography(quads):
    """[n, 4, 2] to [n, 3, 3]: from the plane of a face (cells) to pixels (Heckbert 1989, section 2.2.3)."""
    p0, p1, p2, p3 = quads.unbind(1)
    d1, d2, s = p1 - p2, p3 - p2, p0 - p1 + p2 - p3
    area = d1[:, 0] * d2[:, 1] - d2[:, 0] * d1[:, 1]
    area = torch.where(area.abs() < 1e-3, torch.full_like(area, 1e-3), area)
    g = (s[:, 0] * d2[:, 1] - d2[:, 0] * s[:, 1]) / area
    h = (d1[:, 0] * s[:, 1] - s[:, 0] * d1[:, 1]) / area
    x = p1 - p0 + g[:, None] * p1
    y = p3 - p0 + h[:, None] * p3
    unit = torch.stack([torch.cat([x, g[:, None]], 1), torch.cat([y, h[:, None]], 1), torch.cat([p0, torch.ones_like(g)[:, None]], 1)], 2)
    plane = unit.new_tensor([[1 / 3, 0, 0.5], [0, 1 / 3, 0.5], [0, 0, 1]])
    return unit @ plane


def mapped(h, points):
    """Points [n, k, 2] of the plane to pixels. Beyond the horizon they stay near it."""
    out = F.pad(points, (0, 1), value=1.0) @ h.transpose(1, 2)
    return out[..., :2] / out[..., 2:].clamp(min=0.05)


def sides(quads):
    return (quads - quads.roll(-1, 1)).norm(dim=-1).mean(1)


def pyramid(pictures):
    """The pictures and four halvings of them."""
    out = [pictures]
    for _ in range(4):
        out.append(F.avg_pool2d(out[-1], 2))
    return out


def patches(levels, which, quads):
    """The rectified patches [n, 3, 64, 64] of quads [n, 4, 2] in pictures numbered `which`, from the level whose pixels are
    about as large as the patch's. Zero outside the picture."""
    n = len(quads)
    steps = ((torch.arange(PATCH, device=quads.device) + 0.5) / PATCH * 2 - 1) * REACH
    grid = torch.stack(torch.meshgrid(steps, steps, indexing="xy"), -1).reshape(1, -1, 2).expand(n, -1, -1)
    at = mapped(homography(quads), grid)
    level = torch.log2(sides(quads) / (PATCH * 3 / (2 * REACH))).round().clamp(0, len(levels) - 1).long()
    # All levels side by side in memory, so that no step waits to know which quads are of which.
    flat = torch.cat([pictures.flatten(2) for pictures in levels], 2).transpose(1, 2).contiguous()
    shapes = torch.tensor([pictures.shape[2:] for pictures in levels], device=quads.device)
    starts = shapes.prod(1).cumsum(0) - shapes.prod(1)
    height, width, start = (part[level][:, None] for part in (shapes[:, 0], shapes[:, 1], starts))
    p = at / 2.0 ** level[:, None, None] - 0.5
    low = p.floor()
    part = p - low
    low = low.long()
    total = 0
    for dx in (0, 1):
        for dy in (0, 1):
            x, y = low[..., 0] + dx, low[..., 1] + dy
            inside = (x >= 0) & (y >= 0) & (x < width) & (y < height)
            here = start + y.clamp(min=0).minimum(height - 1) * width + x.clamp(min=0).minimum(width - 1)
            weight = (part[..., 0] if dx else 1 - part[..., 0]) * (part[..., 1] if dy else 1 - part[..., 1])
            total = total + flat[which[:, None], here] * (weight * inside)[..., None]
    return total.transpose(1, 2).reshape(n, 3, PATCH, PATCH)


def moved(quads, by):
    """Quads with their corners moved by [n, 8] cells in their own plane."""
    corners = CORNERS.to(quads) + by.reshape(-1, 4, 2)
    return mapped(homography(quads), corners)


def peaks(heat, most):
    """The strongest local maxima: logits [n, most] and cells [n, most, 2] (x, y)."""
    n, _, _, width = heat.shape
    top = torch.where(F.max_pool2d(heat, 3, 1, 1) == heat, heat, torch.full_like(heat, -99.0)).flatten(1)
    value, at = top.topk(most, 1)
    return value, torch.stack([at % width, at // width], -1)


def proposals(out, most):
    """Quads [n, most, 4, 2] in pixels of the finder's input, with their logits."""
    value, at = peaks(out[:, :1], most)
    index = (at[..., 1] * out.shape[3] + at[..., 0])[:, None].expand(-1, 8, -1)
    code = out[:, 1:].flatten(2).gather(2, index).transpose(1, 2) * 16
    return decode(code.float()) + ((at + 0.5) * 4)[:, :, None], value
