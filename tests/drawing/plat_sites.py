"""Sites, scenes and views for the tests of the plat; made once per run."""

from __future__ import annotations

from functools import lru_cache

from survey_app import assess, open_site
from survey_app.data import demo_sites_folder
from survey_app.drawing.plat.hits import bounds
from survey_app.drawing.plat.plat import Plat
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.tiers import tier_of
from survey_app.drawing.plat.view import PlatView
from survey_app.drawing.shapes import Symbol, Words
from survey_app.ground.place import place

DEMOS = ("boatyard", "college", "mill")


@lru_cache(maxsize=8)
def demo_scene(name: str) -> PlatScene:
    site = open_site(demo_sites_folder() / name)
    return PlatScene(site, place(site), assess(site))


def view_of(
    scene: PlatScene, px_per_m: float, fx: float = 0.5, fy: float = 0.5, size_px: tuple[float, float] = (1000, 600)
) -> PlatView:
    """A view of a scene's site, its middle at a part of the site's width and height."""
    x0, y0, x1, y1 = bounds(scene) or (0.0, 0.0, 1.0, 1.0)
    x, y = x0 + fx * (x1 - x0), y0 + fy * (y1 - y0)
    half_x, half_y = size_px[0] / px_per_m / 2.0, size_px[1] / px_per_m / 2.0
    return PlatView((x - half_x, y - half_y, x + half_x, y + half_y), px_per_m, 4.0, tier_of(px_per_m))


def around(scene: PlatScene, at: tuple[float, float], px_per_m: float) -> PlatView:
    half_x, half_y = 500.0 / px_per_m, 300.0 / px_per_m
    return PlatView((at[0] - half_x, at[1] - half_y, at[0] + half_x, at[1] + half_y), px_per_m, 4.0, tier_of(px_per_m))


def texts(drawn: Plat) -> list[str]:
    return [shape.text for shape in drawn.shapes if isinstance(shape, Words)]


def symbols(drawn: Plat, name: str) -> list[Symbol]:
    return [shape for shape in drawn.shapes if isinstance(shape, Symbol) and shape.name == name]
