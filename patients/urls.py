"""The dogs' records, and their plans and take-home sheets."""

from django.urls import path

from patients.views import (
    exports,
    letters,
    plans,
    provenance,
    recalls,
    records,
    sheets,
    sign_offs,
    visits,
    weights,
)

app_name = "patients"
urlpatterns = [
    path("", records.patient_list, name="patient-list"),
    path("patients.csv", exports.patient_csv, name="patient-csv"),
    path("new/", records.patient_new, name="patient-new"),
    path("<int:pk>/", records.patient_detail, name="patient-detail"),
    path("<int:pk>/edit/", records.patient_edit, name="patient-edit"),
    path("<int:pk>/weights.svg", weights.weight_chart, name="weight-chart"),
    path("<int:pk>/growth.svg", weights.growth_chart, name="growth-chart"),
    path("<int:pk>/weights/home/", weights.home_weigh_ins_new, name="home-weigh-ins-new"),
    path("weights/home/<int:pk>/edit/", weights.home_weigh_in_edit, name="home-weigh-in-edit"),
    path("<int:pk>/weights/pace/", weights.loss_pace, name="loss-pace"),
    path("<int:pk>/visits/new/", visits.visit_new, name="visit-new"),
    path("visits/<int:pk>/", visits.visit_detail, name="visit-detail"),
    path("visits/<int:pk>/edit/", visits.visit_edit, name="visit-edit"),
    path("visits/<int:pk>/plan/", visits.plan_from_visit, name="plan-from-visit"),
    path("owners/<int:pk>/edit/", records.owner_edit, name="owner-edit"),
    path("<int:pk>/plans/new/", plans.plan_new, name="plan-new"),
    path("<int:pk>/plans/preview/", plans.plan_preview, name="plan-preview"),
    path("plans/<int:pk>/", plans.plan_detail, name="plan-detail"),
    path("plans/<int:pk>/provenance/", provenance.plan_provenance, name="plan-provenance"),
    path("plans/<int:pk>/edit/", plans.plan_edit, name="plan-edit"),
    path("plans/<int:pk>/issue/", sheets.sheet_issue, name="sheet-issue"),
    path("<int:pk>/letter/", letters.letter_detail, name="letter"),
    path("<int:pk>/letter.pdf", letters.letter_pdf, name="letter-pdf"),
    path("<int:pk>/sign-offs/new/", sign_offs.sign_off_new, name="sign-off-new"),
    path("sign-offs/<int:pk>/withdraw/", sign_offs.sign_off_withdraw, name="sign-off-withdraw"),
    path("sign-offs/<int:pk>/letter/", sign_offs.sign_off_letter, name="sign-off-letter"),
    path("recalls/", recalls.recall_list, name="recall-list"),
    path("recalls/look-into/", recalls.recall_look_into, name="recall-look-into"),
    path("recalls/<int:pk>/", recalls.recall_detail, name="recall-detail"),
    path("recalls/calls/<int:pk>/", recalls.recall_call, name="recall-call"),
    path("sheets/<int:pk>/", sheets.sheet_detail, name="sheet-detail"),
    path("sheets/<int:pk>/pdf/", sheets.sheet_pdf, name="sheet-pdf"),
]
