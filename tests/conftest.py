"""Settings of every test."""

from hypothesis import Phase, settings

settings.register_profile(
    "garboard", deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink)
)
settings.load_profile("garboard")
