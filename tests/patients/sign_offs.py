"""A dog whose veterinarian is asked, and what the veterinarian agreed to. Wholly invented."""

from datetime import timedelta

from django.utils import timezone

from nutrients.models import Nutrient
from patients.models import AgreedNumber, Plan, SignOff
from patients.services import work_out
from patients.sign_off_services import record_sign_off
from tests.patients.feeding import make_whole_plan

PANCREATITIS = "pancreatitis, hyperlipidaemia"
TODAY = timezone.localdate()


def record(patient, by, subject=PANCREATITIS, numbers=(), days_ago=3, **particulars) -> SignOff:
    about = {
        "veterinarian": "Dr M. Sorrel",
        "clinic": "Sallow Bridge",
        "agreed_on": TODAY - timedelta(days=days_ago),
        "agreed": "Low fat, and a check in six weeks.",
    }
    rows = [
        AgreedNumber(nutrient=Nutrient.objects.get(key=key), bound=bound, per_1000_kcal=value, unit=unit)
        for key, bound, value, unit in numbers
    ]
    sign_off = SignOff(patient=patient, subject=subject, **(about | particulars))
    return record_sign_off(sign_off=sign_off, numbers=rows, by=by)


def make_asking_plan(by) -> Plan:
    """A dog with pancreatitis on its record and a recipe that is otherwise ready to be issued."""
    plan = make_whole_plan(by)
    plan.patient.conditions.create(name="pancreatitis last winter")
    return plan


def per_1000_kcal(plan, nutrient: str) -> float:
    """By another route than the judgement: the total over the energy of protein, fat and nfe at 4/9/4."""
    totals = work_out(plan).batch.analysis.composition.totals
    return totals[nutrient] * 1000 / (4 * totals["protein"] + 9 * totals["fat"] + 4 * totals["nfe"])
