"""A second reckoning of every function in library/functions, one Python function each, one module a topic.

Values are SI numbers (metres, radians, seconds, kilograms, newtons, kelvin). Where there is another road to the result (a
construction with coordinates, an integral, a search) it is taken, so that a slip in a formula of the library does not repeat
here. Run by library_examples.py.
"""

from .circles import *  # noqa: F403
from .gears import *  # noqa: F403
from .holes import *  # noqa: F403
from .joints import *  # noqa: F403
from .keys import *  # noqa: F403
from .measuring import *  # noqa: F403
from .measuring_tapers import *  # noqa: F403
from .rotary_table import *  # noqa: F403
from .screw_cutting import *  # noqa: F403
from .speeds_and_feeds import *  # noqa: F403
from .springs import *  # noqa: F403
from .stock import *  # noqa: F403
from .tables import *  # noqa: F403
from .tapers import *  # noqa: F403
from .threads import *  # noqa: F403
