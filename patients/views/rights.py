"""An owner's data: handed out, and erased when one person asks and another one confirms."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import FileResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from patients import erasure_requests
from patients.erasure import Subject, lines_of, undecided
from patients.models import ErasureRequest, Owner, OwnerExport
from patients.models.rights import DAYS_TO_CONFIRM
from patients.owner_export import export_owner, folder_name
from patients.rights_forms import AskForm, ConfirmForm

OWNERS = Owner.objects.kept()


@require_safe
@permission_required("patients.view_erasurerequest", raise_exception=True)
def owner_data(request, pk):
    return _page(request, get_object_or_404(OWNERS, pk=pk))


def _page(request, owner, ask_form=None, confirm_form=None):
    waits = undecided(request.practice)
    subject = None if waits else Subject(owner, request.practice, timezone.localdate())
    context = {
        "place": "patients",
        "owner": owner,
        "exports": OwnerExport.objects.filter(owner_number=owner.pk).select_related("made_by"),
        "erased": ErasureRequest.objects.done().filter(owner_number=owner.pk).first(),
        "undecided": waits,
        "lines": lines_of(subject) if subject else [],
        "asked": erasure_requests.open_request(owner),
        "ask_form": ask_form or AskForm(),
        "confirm_form": confirm_form or ConfirmForm(),
        "days_to_confirm": DAYS_TO_CONFIRM,
    }
    return render(request, "patients/owner_data.html", context)


@require_POST
@permission_required("patients.add_ownerexport", raise_exception=True)
def owner_export(request, pk):
    owner = get_object_or_404(OWNERS, pk=pk)
    file = export_owner(owner=owner, by=request.user, practice=request.practice)
    name = f"{folder_name(owner, timezone.localdate())}.zip"
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")


@require_POST
@permission_required("patients.add_erasurerequest", raise_exception=True)
def erasure_ask(request, pk):
    owner = get_object_or_404(OWNERS, pk=pk)
    form = AskForm(request.POST)
    if form.is_valid():
        reason = form.cleaned_data["reason"]
        try:
            erasure_requests.ask(owner=owner, reason=reason, by=request.user, practice=request.practice)
        except ValidationError as refused:
            form.add_error(None, refused)
        else:
            messages.success(request, "Asked. A second person has to confirm it.")
            return redirect("patients:owner-data", owner.pk)
    return _page(request, owner, ask_form=form)


@require_POST
@permission_required("patients.change_erasurerequest", raise_exception=True)
def erasure_withdraw(request, pk):
    asked = get_object_or_404(ErasureRequest, pk=pk)
    try:
        erasure_requests.withdraw(request=asked, by=request.user)
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    else:
        messages.success(request, "The request was withdrawn: nothing is erased.")
    return redirect("patients:erasure-list")


@require_POST
@permission_required("patients.confirm_erasurerequest", raise_exception=True)
def erasure_confirm(request, pk):
    asked = get_object_or_404(ErasureRequest, pk=pk)
    form = ConfirmForm(request.POST)
    if form.is_valid():
        try:
            erasure_requests.confirm(request=asked, by=request.user, practice=request.practice)
        except ValidationError as refused:
            form.add_error(None, refused)
        else:
            messages.success(request, f"The data of owner {asked.owner_number} were erased.")
            return redirect("patients:erasure-list")
    return _page(request, get_object_or_404(OWNERS, pk=asked.owner_number), confirm_form=form)


@require_safe
@permission_required("patients.view_erasurerequest", raise_exception=True)
def erasure_list(request):
    requests = ErasureRequest.objects.select_related("asked_by", "withdrawn_by", "confirmed_by")
    over = erasure_requests.over_their_time(request.practice, timezone.localdate())
    context = {
        "place": "practice",
        "requests": requests,
        "over": over,
        "undecided": undecided(request.practice),
    }
    return render(request, "patients/erasure_list.html", context)


@require_POST
@permission_required("patients.confirm_erasurerequest", raise_exception=True)
def erasure_overdue(request):
    count = erasure_requests.erase_what_is_over(practice=request.practice, on=timezone.localdate())
    messages.success(request, f"Erased owners of whom something was taken away: {count}.")
    return redirect("patients:erasure-list")
