"""Owners, dogs, visits, feeding plans, the take-home sheets that were issued, and recalls."""

from patients.models.brought_files import BroughtFile
from patients.models.calendars import CalendarAddress
from patients.models.clinical import GivenSupplement, LabResult, Medicine
from patients.models.contacts import Contact, Task
from patients.models.diet import DietItem
from patients.models.dogs import Avoid, Condition, Patient
from patients.models.energy_factors import EnergyFactor
from patients.models.intake_drafts import IntakeDraft
from patients.models.issue_runs import IssueRun
from patients.models.medicine_cautions import MedicineCaution
from patients.models.owners import Owner
from patients.models.photos import Photo
from patients.models.plans import Plan, Sheet
from patients.models.recalls import Recall, RecallCall
from patients.models.rechecks import HomeWeighIn, TabletCount
from patients.models.rights import ErasureRequest, OwnerExport
from patients.models.sign_offs import AgreedNumber, SignOff, SignOffLetter
from patients.models.visits import Visit
from patients.models.withdrawals import SheetWithdrawal

__all__ = [
    "AgreedNumber",
    "Avoid",
    "BroughtFile",
    "CalendarAddress",
    "Condition",
    "Contact",
    "DietItem",
    "EnergyFactor",
    "ErasureRequest",
    "GivenSupplement",
    "HomeWeighIn",
    "IntakeDraft",
    "IssueRun",
    "LabResult",
    "Medicine",
    "MedicineCaution",
    "Owner",
    "OwnerExport",
    "Patient",
    "Photo",
    "Plan",
    "Recall",
    "RecallCall",
    "Sheet",
    "SheetWithdrawal",
    "SignOff",
    "SignOffLetter",
    "TabletCount",
    "Task",
    "Visit",
]
