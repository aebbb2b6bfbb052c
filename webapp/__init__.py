"""Droplight: a job written in Markdown becomes steps on a phone under the hood and a sheet on the wall.

Inside this package arrows point down only: `cli`, `web`, `sheet` → `store` → `job`, `plan`, `proof`, `pack`, `trade`.
What lies below `store` is pure: it meets no web framework, no database, no clock and no network.
"""

__version__ = "0.1.0"
