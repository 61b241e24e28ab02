"""The job file: what it may say, how it is read, what is wrong with it."""

from handwheel.job.dimension import Dimension, Gauge
from handwheel.job.facing import Facing
from handwheel.job.job import Job
from handwheel.job.operation import Compensation, Cut, Direction
from handwheel.job.reader import read_job, read_job_text
from handwheel.job.setup_entry import SetupEntry
from handwheel.job.side_milling import Edge, SideMilling
from handwheel.job.tables import Probe, TouchOff
from handwheel.job.work import Allowance, Stock, Work, Zero

__all__ = [
    "Allowance",
    "Compensation",
    "Cut",
    "Dimension",
    "Direction",
    "Edge",
    "Facing",
    "Gauge",
    "Job",
    "Probe",
    "SetupEntry",
    "SideMilling",
    "Stock",
    "TouchOff",
    "Work",
    "Zero",
    "read_job",
    "read_job_text",
]
