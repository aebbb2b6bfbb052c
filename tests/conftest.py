"""What holds for every test."""

from hypothesis import settings

# A law is true or not, however busy the machine is; what is slow is measured by `make bench`.
settings.register_profile("unhurried", settings(), deadline=None)
settings.load_profile("unhurried")
