"""The chain of limits.rs in numpy: python chain_numpy.py SAMPLES

Draws the ten sizes normally, their limits three standard deviations from the
middle, nothing outside; works the 20 cells out and prints the mean, the
standard deviation and the two outer points of each size and cell.
"""

import sys

import numpy as np

SIZES = [
    (20, -0.05, 0.05),
    (12, 0, 0.018),
    (15, -0.1, 0.1),
    (30, -0.02, 0.02),
    (8, -0.12, 0),
    (31, -0.05, 0.05),
    (40, -0.2, 0.2),
    (6, -0.02, 0.02),
    (5, -0.017, -0.006),
    (25, -0.05, 0.05),
]


def draw(random, count, size, low, high):
    """Normal numbers, those outside the limits drawn again."""
    z = random.standard_normal(count)
    outside = np.abs(z) > 3
    while outside.any():
        z[outside] = random.standard_normal(outside.sum())
        outside = np.abs(z) > 3
    return size + (low + high) / 2 + z * (high - low) / 6


def main():
    count = int(sys.argv[1])
    random = np.random.default_rng(1)
    s = [draw(random, count, *size) for size in SIZES]
    c = [None] * 20
    c[0] = s[0] + s[1]
    c[1] = c[0] * s[2] / 10
    c[2] = np.sqrt(c[1] * s[3])
    c[3] = c[2] - s[4] / 2
    c[4] = np.maximum(c[3], s[5])
    c[5] = c[4] * np.cos(np.arctan(s[6] / 100))
    c[6] = c[5] + s[7] - s[8]
    c[7] = (c[6] ** 2 + s[9] ** 2) / 50
    c[8] = c[7] / 3 + c[2]
    c[9] = np.minimum(c[8], 60)
    c[10] = c[9] * s[7] / s[8]
    c[11] = c[10] - c[0]
    c[12] = c[11] + 2 * s[9]
    c[13] = np.sqrt(c[12] ** 2 + s[6] ** 2)
    c[14] = c[13] * np.sin(np.radians(30))
    c[15] = c[14] + c[5] / 4
    c[16] = (c[15] - s[4]) * 1.5
    c[17] = c[16] + s[0] - s[1]
    c[18] = c[17] * s[2] / s[3]
    c[19] = c[18] + c[10]
    for values in s + c:
        low, high = np.percentile(values, [0.135, 99.865])
        print(f"{values.mean():.4f} {values.std(ddof=1):.5f} {low:.4f} {high:.4f}")
    print(f"{(c[19] >= 130).mean() * 1e6:.3g} ppm outside")


main()
