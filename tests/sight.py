"""Colours as eyes see them: contrast, and how far two colours are apart, with or without a deficiency.

Sources: sRGB to CIE XYZ, D65: IEC 61966-2-1:1999; CIELAB: CIE 15; contrast: WCAG 2.1. CIEDE2000: Sharma, Wu
and Dalal, The CIEDE2000 Color-Difference Formula, Color Research and Application 30(1), 2005. Full
deficiency: Machado, Oliveira and Fernandes, A Physiologically-based Model for Simulation of Color Vision
Deficiency, IEEE TVCG 15(6), 2009, table for severity 1.0, on linear RGB. All from memory.
"""

import numpy as np

XYZ_FROM_RGB = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
DEFICIENCY = {
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}


def linear(colours):
    rgb = np.array([[int(c[i : i + 2], 16) for i in (1, 3, 5)] for c in colours]) / 255
    return np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)


def lab(rgb):
    ratio = np.clip(rgb, 0, 1) @ XYZ_FROM_RGB.T / np.array([0.9505, 1.0, 1.089])
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.column_stack([116 * f[:, 1] - 16, 500 * (f[:, 0] - f[:, 1]), 200 * (f[:, 1] - f[:, 2])])


def contrast(one, other):
    light = sorted((linear([one, other]) @ XYZ_FROM_RGB[1]).tolist())
    return (light[1] + 0.05) / (light[0] + 0.05)


def apart(one, other):
    """CIEDE2000 between two colours in CIELAB, (3,) each."""
    grey = 25.0**7
    middle = (np.hypot(*one[1:]) + np.hypot(*other[1:])) / 2
    stretch = 1 + 0.5 * (1 - np.sqrt(middle**7 / (middle**7 + grey)))
    (l1, a1, b1), (l2, a2, b2) = one, other
    c1, c2 = np.hypot(stretch * a1, b1), np.hypot(stretch * a2, b2)
    h1, h2 = (np.degrees(np.arctan2(b, stretch * a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    turn = (h2 - h1 + 180) % 360 - 180 if c1 * c2 else 0.0
    hue = np.radians((h1 + turn / 2) % 360 if c1 * c2 else h1 + h2)
    level, chroma = (l1 + l2) / 2, (c1 + c2) / 2
    waves = ((0.17, 1, -30), (-0.24, 2, 0), (-0.32, 3, 6), (0.20, 4, -63))
    t = 1 - sum(size * np.cos(times * hue + np.radians(off)) for size, times, off in waves)
    light = (l2 - l1) / (1 + 0.015 * (level - 50) ** 2 / np.sqrt(20 + (level - 50) ** 2))
    full = (c2 - c1) / (1 + 0.045 * chroma)
    round_ = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn / 2)) / (1 + 0.015 * chroma * t)
    bend = np.radians(60 * np.exp(-(((np.degrees(hue) - 275) / 25) ** 2)))
    mixed = -2 * np.sqrt(chroma**7 / (chroma**7 + grey)) * np.sin(bend)
    return float(np.sqrt(light**2 + full**2 + round_**2 + mixed * full * round_))


def least_apart(one, other):
    """How far two colours are apart for the eye that tells them apart least."""
    eyes = [np.eye(3), *map(np.array, DEFICIENCY.values())]
    return min(apart(*lab(linear([one, other]) @ eye.T)) for eye in eyes)
