"""What a webcam makes of a clean picture: lens, sensor, processing and codec, on the accelerator, anew each time a picture is used.

Pictures are [n, 3, h, w], encoded sRGB from 0 to 1. Each effect is met by some of a batch only.
"""

import math

import torch
import torch.nn.functional as F


def some(n, share, device):
    """[n, 1, 1, 1]: 1 for about a share of the batch, else 0."""
    return (torch.rand(n, 1, 1, 1, device=device) < share).float()


def between(n, low, high, device, channels=1):
    return torch.rand(n, channels, 1, 1, device=device) * (high - low) + low


def around(n, spread, device, channels=1):
    return torch.exp(torch.randn(n, channels, 1, 1, device=device) * spread)


def convolved(pictures, kernels):
    """Each picture with a kernel of its own, [n, k, k], which sums to one."""
    n, c, h, w = pictures.shape
    k = kernels.shape[-1]
    weight = kernels[:, None].expand(-1, c, -1, -1).reshape(n * c, 1, k, k)
    padded = F.pad(pictures.reshape(1, n * c, h, w), (k // 2,) * 4, mode="replicate")
    return F.conv2d(padded, weight, groups=n * c).reshape(n, c, h, w)


def blurs(n, device, size=11, unblurred=0.62):
    """Kernels of bad focus, of motion along any direction, or of neither; and how far each spreads: its largest standard deviation."""
    y, x = torch.meshgrid(*[torch.arange(size, device=device) - size // 2.0] * 2, indexing="ij")
    sigma = between(n, 0.4, 2.4, device)[:, 0]
    defocus = torch.exp(-(x**2 + y**2) / (2 * sigma**2))
    angle, length = between(n, 0, math.pi, device)[:, 0], between(n, 1, 5, device)[:, 0]
    along, across = x * angle.cos() + y * angle.sin(), -x * angle.sin() + y * angle.cos()
    motion = torch.exp(-((along.abs() - length).clamp(min=0) ** 2) * 4 - across**2 * 2)
    sharp = ((x == 0) & (y == 0)).float().expand(n, -1, -1)
    way = torch.rand(n, 1, 1, device=device)
    choose = lambda a, b, c: torch.where(way < 0.58 * (1 - unblurred), a, torch.where(way < 1 - unblurred, b, c))
    kernels = choose(defocus, motion, sharp)
    spread = choose(sigma, length / math.sqrt(3), torch.zeros_like(way))
    return kernels / kernels.sum((1, 2), keepdim=True), spread[:, 0, 0]


def cosines(device):
    """The 8 by 8 discrete cosine transform (ITU-T T.81, A.3.3) of blocks whose 64 values stand in a row."""
    k = torch.arange(8, device=device).float()
    matrix = torch.cos((2 * k[None] + 1) * k[:, None] * math.pi / 16) / 2
    matrix[0] /= math.sqrt(2)
    return torch.kron(matrix, matrix)


# Quantisation of ITU-T T.81, tables K.1 and K.2.
LUMINANCE = [16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69, 56, 14, 17, 22, 29, 51, 87, 80, 62]
LUMINANCE += [18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113, 92, 49, 64, 78, 87, 103, 121, 120, 101, 72, 92, 95, 98, 112, 100, 103, 99]
CHROMINANCE = [17, 18, 24, 47, 99, 99, 99, 99, 18, 21, 26, 66, 99, 99, 99, 99, 24, 26, 56, 99, 99, 99, 99, 99, 47, 66, 99, 99, 99, 99, 99, 99]
CHROMINANCE += [99] * 32


def rounded(planes, table, matrix):
    """Planes [n, h, w] of 0 to 255 after rounding the coefficients of their 8x8 blocks to steps [n, 64]."""
    n, h, w = planes.shape
    blocks = planes.reshape(n, h // 8, 8, w // 8, 8).transpose(2, 3).reshape(n, -1, 64) - 128
    steps = table[:, None]
    parts = (blocks @ matrix.T / steps).round() * steps
    return (parts @ matrix + 128).reshape(n, h // 8, w // 8, 8, 8).transpose(2, 3).reshape(n, h, w)


def coded(pictures, quality):
    """As after JPEG, colour at half the resolution; quality [n, 1] from 1 to 100."""
    device = pictures.device
    matrix = cosines(device)
    scale = torch.where(quality < 50, 5000 / quality, 200 - 2 * quality) / 100
    red, green, blue = (pictures * 255).unbind(1)
    luma = 0.299 * red + 0.587 * green + 0.114 * blue
    chroma = torch.stack([(blue - luma) / 1.772, (red - luma) / 1.402], 1)
    small = F.avg_pool2d(chroma, 2) + 128
    table = lambda values: (torch.tensor(values, device=device).float()[None] * scale).clamp(1, 255)
    luma = rounded(luma, table(LUMINANCE), matrix)
    cb, cr = (rounded(small[:, k], table(CHROMINANCE), matrix) for k in (0, 1))
    cb, cr = (F.interpolate(torch.stack([cb, cr], 1), scale_factor=2, mode="bilinear") - 128).unbind(1)
    return torch.stack([luma + 1.402 * cr, luma - 0.344136 * cb - 0.714136 * cr, luma + 1.772 * cb], 1) / 255


def taken(pictures):
    """A batch of clean pictures as a webcam gives them, and by how many pixels each is blurred (standard deviation)."""
    n, _, h, w = pictures.shape
    device = pictures.device
    y, x = torch.meshgrid(torch.linspace(-1, 1, h, device=device), torch.linspace(-1, 1, w, device=device), indexing="ij")
    out = pictures
    # Veiling glare, vignette, and a lamp's flicker in the rows.
    apart = (x - between(n, -1, 1, device)) ** 2 + (y - between(n, -1, 1, device)) ** 2
    glare = torch.exp(-apart / (2 * between(n, 0.2, 1.2, device) ** 2)) * between(n, 0.1, 0.8, device) + between(n, 0, 0.2, device)
    out = out + some(n, 0.12, device) * (glare - out * 0.25)
    out = out * (1 - some(n, 0.25, device) * between(n, 0.1, 0.5, device) * (x**2 + y**2) / 2)
    waves = torch.sin(y * between(n, 2, 16, device) + between(n, 0, 6, device))
    out = out * (1 + some(n, 0.12, device) * between(n, 0.03, 0.25, device) * waves)
    # White balance, exposure and tone.
    out = out * around(n, 0.13, device, 3) * around(n, 0.25, device)
    out = out.clamp(1e-4, 1.05) ** around(n, 0.15, device)
    grey = out.mean(1, keepdim=True)
    out = torch.lerp(out, grey + (out - grey) * between(n, 0.4, 1.4, device), some(n, 0.3, device))
    mixed = torch.rand(n, device=device) < 0.12
    out = torch.where(mixed[:, None, None, None], out[:, torch.randperm(3, device=device)], out)
    kernels, blurred = blurs(n, device)
    out = convolved(out, kernels)
    # Far out of focus, or moved far: the same kernels on a picture made smaller.
    many = n // 7
    if many:
        times = (2, 3, 4)[int(torch.randint(0, 3, ()))]
        kernels, spread = blurs(many, device, unblurred=0.3)
        small = convolved(F.interpolate(out[-many:], scale_factor=1 / times, mode="bilinear", antialias=True), kernels)
        out = torch.cat([out[:-many], F.interpolate(small, (h, w), mode="bilinear")])
        # A triangle of this width is what the making larger adds.
        spread = torch.hypot(times * spread, spread.new_tensor(times / math.sqrt(6)))
        blurred = torch.cat([blurred[:-many], torch.hypot(spread, blurred[-many:])])
    # A smaller picture made larger, the same for a quarter of the batch.
    few = n // 6
    if few:
        scale = 0.4 + 0.5 * torch.rand(()).item()
        small = F.interpolate(out[:few], scale_factor=scale, mode="bilinear", antialias=True)
        out = torch.cat([F.interpolate(small, (h, w), mode="bilinear"), out[few:]])
    # Noise of single pixels, or in blotches.
    strength = torch.exp(between(n, math.log(0.004), math.log(0.08), device)) * some(n, 0.65, device)
    noise = torch.randn_like(out)
    blotches = F.interpolate(torch.randn(n, 3, h // 2, w // 2, device=device), scale_factor=2, mode="bilinear")
    out = out + strength * torch.lerp(noise, blotches, some(n, 0.4, device))
    soft = F.avg_pool2d(out, 3, 1, 1, count_include_pad=False)
    out = out + (out - soft) * between(n, 0.3, 1.8, device) * some(n, 0.3, device)
    out = torch.lerp(out, soft, some(n, 0.1, device))
    worse = coded(out.clamp(0, 1), between(n, 10, 95, device)[:, 0, 0])
    return torch.lerp(out, worse, some(n, 0.7, device)).clamp(0, 1), blurred
