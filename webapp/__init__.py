"""Droplight: a job written in Markdown becomes steps on a phone under the hood and a sheet on the wall.

Inside this package arrows point down only: `cli`, `web` and `sheet` use `pack`, `pack` uses `trade`.
Those two are pure: they meet no web framework, no clock and no network.
"""

__version__ = "0.1.0"
