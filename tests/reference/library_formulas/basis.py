"""What the formulas share: exact units, a zero by halving, an integral by Simpson's rule."""

INCH = 0.0254
MM = 0.001


def solve(function, low, high):
    """Zero of a function between low and high, by halving."""
    sign = function(low) > 0
    for _ in range(200):
        middle = (low + high) / 2
        if (function(middle) > 0) == sign:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def integral(function, low, high, steps=4000):
    """Simpson's rule."""
    width = (high - low) / steps
    inner = sum((4 if i % 2 else 2) * function(low + i * width) for i in range(1, steps))
    return (function(low) + inner + function(high)) * width / 3
