"""The written cases of arithmetic_python.py, by group.

A case is (kind, expression) where Python reads the expression as the notebook
language does once `^` is `**` and `=` is `==`, or (kind, expression, python)
where the right-hand side says in Python what the expression means. The order
of operators is Python's own: or, and, not, comparisons, + -, * /, unary -, **
(which goes from right to left). Numbers on the Python side become exact
fractions or 30-digit numbers; MM, IN and so on are the units in SI.
"""


def same(kind, *expressions):
    return [(kind, text) for text in expressions]


def meant(kind, *pairs):
    return [(kind, text, python) for text, python in pairs]


PRECEDENCE = same(
    "number",
    "-2^2", "2^3^2", "(-2)^2", "-(2^2)", "(2^3)^2", "2^2^3", "-2^2^2", "-3^2 + 10", "10 - 3^2", "2 * -3^2",
    "-2 * 3", "2 * -3", "5 - -2", "-5 - 2", "--2", "-(-2)^3", "(-2)^3", "2^-1", "-2^-2", "2^-2^2",
    "4^0.5", "2^(1/2)", "2^1/2", "8^(1/3)", "-8^(1/3)", "2^1.5", "1/2^2", "(1/2)^2", "3 * 2^2", "(3 * 2)^2",
    "1 + 2 * 3", "(1 + 2) * 3", "10 - 4 - 3", "10 - (4 - 3)", "100 / 5 / 2", "100 / (5 / 2)", "2 / 3 * 4", "2 / (3 * 4)", "7 - 2 + 3", "6 * 3 / 2",
    "1/2", "3/8 + 5/8", "1/2 * 3", "1/3", "22/7", "1/2/2", "2 + 3/4 - 1", "-1/2", "-1/2^2", "0.1 + 0.2",
    "1.5 * (2 + (3 - (4 - 5)))", "((((7))))", "2*3+4*5", "2+3*4-5/2", "1000 / 8", "2 * pi", "pi / 4 * 3^2", "-pi^2", "0^2", "7^0",
)

INCHES = (
    meant(
        "length",
        ("1/2 in", "(1/2) * IN"),
        ("3/8 in", "(3/8) * IN"),
        ("1 3/8 in", "(1 + 3/8) * IN"),
        ("1 3/8 in as mm", "(1 + 3/8) * IN"),
        ('3/8"', "(3/8) * IN"),
        ('1 3/8"', "(1 + 3/8) * IN"),
        ('2 63/64" as mm', "(2 + 63/64) * IN"),
        ("12 1/2 in", "(12 + 1/2) * IN"),
        ("-1/2 in", "-(1/2) * IN"),
        ("-1 3/8 in", "-(1 + 3/8) * IN"),
        ("1 in - 1 3/8 in", "IN - (1 + 3/8) * IN"),
        ("2 * 1/2 in", "2 * ((1/2) * IN)"),
        ("1/2 * 3 in", "1/2 * (3 * IN)"),
        ("1/16 in * 3", "(1/16) * IN * 3"),
        ("3/8 in / 2", "(3/8) * IN / 2"),
        ("10/4 in", "(10/4) * IN"),
        ("1/2 in + 1/4 in", "(1/2) * IN + (1/4) * IN"),
        ('3/8" + 1/4"', "(3/8) * IN + (1/4) * IN"),
        ('1 1/8" - 7/16"', "(1 + 1/8) * IN - (7/16) * IN"),
        ("6 in - 1/32 in", "6 * IN - (1/32) * IN"),
        ("2 ft + 3 1/2 in", "2 * FT + (3 + 1/2) * IN"),
        ("1/2 ft", "(1/2) * FT"),
        ("3/4 yd as ft", "(3/4) * YD"),
        ("1/3 ft as in", "(1/3) * FT"),
        ("1/2 mm", "(1/2) * MM"),
        ("1 1/2 mm", "(1 + 1/2) * MM"),
        ('0.0005"', "0.0005 * IN"),
        ('0.0005 in as um', "0.0005 * IN"),
        ("12 thou", "12 * IN / 1000"),
        ("1 in + 12 thou - 0.3 mm", "IN + 12 * IN / 1000 - 0.3 * MM"),
        ("25.4mm as in", "25.4 * MM"),
        ("(1/2 in + 1/4 in) * 2", "((1/2) * IN + (1/4) * IN) * 2"),
        ("(1 1/4 in - 3/4 in) / 2 as thou", "((1 + 1/4) * IN - (3/4) * IN) / 2"),
        ("2^2 * 1/4 in", "2**2 * ((1/4) * IN)"),
        ("1 m as ft", "1000 * MM"),
        ("0.02 km - 3 m", "20000 * MM - 3000 * MM"),
        ("250 um * 4", "250 * MM / 1000 * 4"),
        ("3 cm / 4", "30 * MM / 4"),
    )
    + meant(
        "per length",
        ("3 / 8 in", "3 / (8 * IN)"),
        ("1 / 2 in", "1 / (2 * IN)"),
        ("6 / (1/2 in)", "6 / ((1/2) * IN)"),
        ("2 / 3 mm * 4", "2 / (3 * MM) * 4"),
    )
    + meant(
        "area",
        ("1/2 in * 1/2 in", "(1/2) * IN * ((1/2) * IN)"),
        ("(1/2 in)^2", "((1/2) * IN)**2"),
        ("1/2 in^2", "(1/2) * IN**2"),
        ("-(3 mm)^2", "-(3 * MM)**2"),
        ("2 * 3 mm * 4 mm", "2 * (3 * MM) * (4 * MM)"),
        ("(3 mm)^2 + 4 mm^2", "(3 * MM)**2 + 4 * MM**2"),
    )
    + meant(
        "number",
        ("1 in / (3/8 in)", "IN / ((3/8) * IN)"),
        ("25 mm / 5 mm", "25 * MM / (5 * MM)"),
        ("1 ft / 1 in", "FT / IN"),
        ("10 mm / 4 mm * 2", "10 * MM / (4 * MM) * 2"),
        ("1 yd / 1 m", "YD / (1000 * MM)"),
    )
)

ANGLES = (
    meant(
        "angle",
        ("2°51'27\" as deg", "(2 + 51/60 + 27/3600) * DEG"),
        ("2°51'27\"", "(2 + 51/60 + 27/3600) * DEG"),
        ("-2°51'27\"", "-(2 + 51/60 + 27/3600) * DEG"),
        ("2°51'27.5\"", "(2 + 51/60 + 27.5/3600) * DEG"),
        ("0°0'1\"", "DEG / 3600"),
        ("12°30'", "12.5 * DEG"),
        ("-2°30'", "-2.5 * DEG"),
        ("30°", "30 * DEG"),
        ("30 deg", "30 * DEG"),
        ("0.5 rad as deg", "0.5"),
        ("45 arcmin", "45/60 * DEG"),
        ("90 arcsec", "90/3600 * DEG"),
        ("1/2 deg", "(1/2) * DEG"),
        ("90° - 2°51'27\"", "(90 - (2 + 51/60 + 27/3600)) * DEG"),
        ("2 * 2°51'27\" as dms", "2 * (2 + 51/60 + 27/3600) * DEG"),
        ("2°51'27\" / 3", "(2 + 51/60 + 27/3600) * DEG / 3"),
        ("360 deg / 7", "360 * DEG / 7"),
        ("180° - 2 * 32.5°", "(180 - 2 * 32.5) * DEG"),
        ("1°15' + 2°50'", "(1.25 + (2 + 50/60)) * DEG"),
        ("30 deg + 30 arcmin + 30 arcsec", "(30 + 30/60 + 30/3600) * DEG"),
        ("asin(0.5) as deg", "30 * DEG"),
        ("acos(-1)", "180 * DEG"),
        ("acos(0.2)", "acos(0.2)"),
        ("atan(1) as dms", "45 * DEG"),
        ("atan(-0.05)", "atan(-0.05)"),
        ("2 * atan(1/20)", "2 * atan(1/20)"),
        ("atan2(3 mm, 4 mm)", "atan2(3, 4)"),
        ("atan2(1, -1)", "135 * DEG"),
        ("atan2(-1, 1)", "-45 * DEG"),
    )
    + meant(
        "number",
        ("sin(30 deg)", "1/2"),
        ("cos(60°)", "1/2"),
        ("tan(45 deg)", "1"),
        ("sin(2°51'27\")", "sin((2 + 51/60 + 27/3600) * DEG)"),
        ("tan(2°51'27\") * 2", "tan((2 + 51/60 + 27/3600) * DEG) * 2"),
        ("-sin(30 deg)^2", "-(1/4)"),
        ("sin(1 rad) / cos(1 rad)", "tan(1)"),
        ("sin(20 deg)^2 + cos(20 deg)^2", "1"),
        ("90 deg / 1 rad", "90 * DEG"),
        ("360 deg / 9 deg", "40"),
        ("cos(-75 deg)", "cos(75 * DEG)"),
    )
    + meant(
        "length",
        ("10 mm * 90 deg as mm", "10 * MM * 90 * DEG"),
        ("10 mm * 30° + 2 mm", "10 * MM * 30 * DEG + 2 * MM"),
        ("100 mm * sin(5°44'21\")", "100 * MM * sin((5 + 44/60 + 21/3600) * DEG)"),
        ("80 mm * sin(180 deg / 6)", "40 * MM"),
        ("20 mm / cos(40 deg)", "20 * MM / cos(40 * DEG)"),
    )
)

FUNCTIONS = (
    meant(
        "number",
        ("sqrt(2)", "sqrt(2)"),
        ("sqrt(2)^2", "2"),
        ("-sqrt(16)", "-4"),
        ("sqrt(16) / 2^3", "1/2"),
        ("cbrt(27)", "3"),
        ("cbrt(-8)", "-2"),
        ("abs(-3.5) - 1", "2.5"),
        ("-abs(-3)", "-3"),
        ("exp(1)", "exp(1)"),
        ("exp(-0.5) * 2", "exp(-0.5) * 2"),
        ("ln(10)", "ln(10)"),
        ("log10(1000)", "3"),
        ("log10(2)", "log10(2)"),
        ("exp(ln(5))", "5"),
        ("min(3, 1, 2)", "1"),
        ("max(3, 1, 2) - min(3, 1)", "2"),
        ("max(-2, -3)^2", "4"),
        ("sum([1, 2, 3.5])", "6.5"),
        ("mean([2, 3, 7])", "4"),
        ("count([4, 5, 6, 7])", "4"),
        ("[45, 80, 125][2]", "80"),
        ("round(7.3, 1)", "7"),
        ("round(7.26, 0.1)", "round_to(7.26, 0.1)"),
        ("round(-7.3, 1)", "-7"),
        ("round(1234, 50)", "round_to(1234, 50)"),
        ("round_up(2.31, 0.25)", "up_to(2.31, 0.25)"),
        ("round_down(2.31, 0.25)", "down_to(2.31, 0.25)"),
        ("round_up(2.5, 0.5)", "up_to(2.5, 0.5)"),
        ("round_down(0.7, 0.1)", "down_to(0.7, 0.1)"),
        ("round_up(1.1, 0.1)", "up_to(1.1, 0.1)"),
        ("whole(2.7)", "3"),
        ("whole(12.2) / 5", "12/5"),
        ("remainder(17, 5)", "2"),
        ("remainder(0.3, 0.1)", "0"),
    )
    + meant(
        "length",
        ("sqrt((3 mm)^2 + (4 mm)^2)", "5 * MM"),
        ("sqrt(2 mm^2)", "sqrt(2) * MM"),
        ("sqrt(3 mm * 12 mm)", "6 * MM"),
        ("cbrt(27 mm^3)", "3 * MM"),
        ("abs(3 mm - 1/4 in)", "(1/4) * IN - 3 * MM"),
        ("min(1/2 in, 12.5 mm)", "12.5 * MM"),
        ("max(1/2 in, 12.5 mm)", "(1/2) * IN"),
        ("sum([1 in, 10 mm])", "IN + 10 * MM"),
        ("mean([10, 20, 45] mm)", "25 * MM"),
        ("[3/8 in, 1/2 in][1]", "(3/8) * IN"),
        ("round(12.337 mm, 0.005 mm)", "round_to(12.337, 0.005) * MM"),
        ("round_up(12.337 mm, 0.005 mm)", "up_to(12.337, 0.005) * MM"),
        ("round_down(1/3 ft, 1/16 in)", "down_to(4, 1/16) * IN"),
        ("round(10 mm, 1/64 in)", "round_to(10 / 25.4, 1/64) * IN"),
        ("remainder(7.5 mm, 2 mm)", "1.5 * MM"),
    )
)

PERCENT = (
    meant(
        "number",
        ("75 %", "75/100"),
        ("12.5 %", "12.5/100"),
        ("-5 %", "-5/100"),
        ("75 % * 40", "30"),
        ("200 + 10 %", "200 + 10/100"),
        ("1 - 25 %", "1 - 25/100"),
        ("(1 + 2 %)^2", "1.02**2"),
        ("50 % * 50 %", "1/4"),
        ("3 / 4 as %", "3/4"),
    )
    + meant("length", ("75 % * 40 mm", "30 * MM"), ("1 in * (1 + 3 %)", "IN * 1.03"), ("20 mm * 0.5 % as um", "20 * MM * 0.5/100"))
)

COMPOUND = (
    meant("length", ("12 mm/rev", "12 * MM"), ("0.004 in/rev as mm/rev", "0.004 * IN"), ("0.02 mm/tooth * 4", "0.02 * MM * 4"), ("1 in / 8", "IN / 8"))
    + meant(
        "speed",
        ("0.1 mm/rev * 400 rpm", "0.1 * MM * 400 / 60"),
        ("30 m/min", "30 * 1000 * MM / 60"),
        ("100 ft/min as m/min", "100 * FT / 60"),
        ("pi * 25 mm * 400 rpm as m/min", "pi * 25 * MM * 400 / 60"),
    )
    + meant("rotation", ("30 m/min / (pi * 20 mm) as rpm", "30 * 1000 * MM / 60 / (pi * 20 * MM)"), ("1200 rpm / 3", "1200 / 60 / 3"), ("2 rev/s", "2"))
    + meant("time", ("120 mm / 40 mm/min", "120 * MM / (40 * MM / 60)"), ("1.5 min + 12 s", "102"))
)

TRUTHS = same(
    "truth",
    "1 < 2", "2 <= 2", "3 > 4", "3 >= 3", "2 = 2", "2 != 2", "1 < 2 < 3", "1 < 3 < 3", "1 < 3 <= 3", "3 > 2 >= 2 > 1",
    "2 + 3 * 4 = 14", "-2^2 = -4", "-2^2 < 0", "1 + 1 < 2 * 2", "not 1 > 2", "not 2 = 3", "not 1 < 2 and 3 < 4", "not (1 > 2 and 3 < 4)", "true or false and false", "(true or false) and false",
    "not true or true", "not (true or true)", "not not true", "false or 1 < 2 < 3", "1 < 2 and 2 < 1 or 3 < 4", "1 > 2 or 2 > 1 and not 3 > 4",
) + meant(
    "truth",
    ("3 mm <= 4 mm < 5 mm", "3 * MM <= 4 * MM < 5 * MM"),
    ("3 mm <= 5 mm < 5 mm", "3 * MM <= 5 * MM < 5 * MM"),
    ("1 in = 25.4 mm", "IN == 25.4 * MM"),
    ('3/8" < 10 mm', "(3/8) * IN < 10 * MM"),
    ("1/2 in > 12.7 mm", "(1/2) * IN > 12.7 * MM"),
    ("1/2 in + 1/2 in = 1 in", "(1/2) * IN + (1/2) * IN == IN"),
    ("1 ft != 12 in", "FT != 12 * IN"),
    ("30 deg < 1 rad", "30 * DEG < 1"),
    ("not 1 in > 25 mm and 2 > 1", "not IN > 25 * MM and 2 > 1"),
)

CHOICES = meant(
    "number",
    ("if 3 > 2 then 1 else 0", "1"),
    ("if 2 > 3 then 1 else if 2 > 1 then 5 else 7", "5"),
    ("2 * (if 1 > 2 then 3 else 4)", "8"),
    ("if not 1 > 2 then 2 + 3 else 4", "5"),
    ("if 1 < 2 and 3 < 2 then 1 else -2^2", "-4"),
) + meant("length", ("if 1 in > 25 mm then 1/2 in else 12 mm", "(1/2) * IN"), ("(if 1 > 2 then 5 mm else 7 mm) + 1 mm", "8 * MM"))

GROUPS = {
    "precedence": PRECEDENCE,
    "inches": INCHES,
    "angles": ANGLES,
    "functions": FUNCTIONS,
    "percent": PERCENT,
    "compound": COMPOUND,
    "truths": TRUTHS,
    "choices": CHOICES,
}
