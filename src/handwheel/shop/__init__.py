"""What stands in the shop: machines, vises, parallels, cutters, materials, threads, gauges."""

from handwheel.shop.cutters import Cutter
from handwheel.shop.gauges import Gauge
from handwheel.shop.machines import CncMill, KneeMill, Slide, Slides, SpindleSpeeds
from handwheel.shop.materials import ChipLoad, CuttingData, CuttingForce, Material
from handwheel.shop.shop import Shop, load_shop, read_shop
from handwheel.shop.threads import Thread
from handwheel.shop.vises import ParallelSet, Vise

__all__ = [
    "ChipLoad",
    "CncMill",
    "Cutter",
    "CuttingData",
    "CuttingForce",
    "Gauge",
    "KneeMill",
    "Material",
    "ParallelSet",
    "Shop",
    "Slide",
    "Slides",
    "SpindleSpeeds",
    "Thread",
    "Vise",
    "load_shop",
    "read_shop",
]
