"""The standards: their profiles, side by side, and the profiles of the practice's own."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nutrients import profile_page, profile_queries, profiles, queries
from nutrients.changes import written
from nutrients.models import Profile
from nutrients.profile_forms import BasisForm, CompareForm, OwnProfileForm

may_see = permission_required("nutrients.view_profile", raise_exception=True)
may_add = permission_required("nutrients.add_profile", raise_exception=True)
may_change = permission_required("nutrients.change_profile", raise_exception=True)
read_or_write = require_http_methods(["GET", "HEAD", "POST"])


@require_safe
@may_see
def profile_list(request):
    context = {"place": "foods", "profiles": profile_queries.listed_profiles()}
    return render(request, "nutrients/profile_list.html", context)


@require_safe
@may_see
def profile_detail(request, key):
    profile = _profile(key)
    form = BasisForm(request.GET, basis=profile.basis, energy=profile.assumed_kcal_per_mbw)
    basis, stated = form.shown_basis(), form.stated(profile.assumed_kcal_per_mbw)
    limits = queries.standing_limits(profile)
    last_changes = profile_queries.last_changes(limits)
    context = {
        "place": "foods",
        "profile": profile,
        "made": profile.own and profile.history.select_related("history_user").earliest(),
        "form": form,
        "basis_words": stated.words(basis),
        "groups": profile_page.limit_groups(limits, profile, basis, stated, last_changes),
    }
    return render(request, "nutrients/profile_detail.html", context)


def _profile(key: str) -> Profile:
    return get_object_or_404(Profile.objects.select_related("standard", "copied_from__standard"), key=key)


@require_safe
@may_see
def profile_compare(request):
    form = CompareForm(request.GET)
    context = {"place": "foods", "form": form, "asked": bool(request.GET)}
    if form.is_valid():
        chosen = form.cleaned_data["p"]
        stated = [form.stated(profile.assumed_kcal_per_mbw) for profile in chosen]
        limits = [queries.profile_limits(profile) for profile in chosen]
        rows = profile_page.compared(limits, form.shown_basis(), stated)
        heads = [
            (profile, energy.words(form.shown_basis()))
            for profile, energy in zip(chosen, stated, strict=True)
        ]
        context |= {
            "heads": heads,
            "columns": 1 + 2 * len(heads),
            "rows": [row for row in rows if row.differs or not form.cleaned_data["differ"]],
        }
    return render(request, "nutrients/profile_compare.html", context)


@read_or_write
@may_add
def profile_copy(request, key):
    original = _profile(key)
    form = OwnProfileForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        copied = written(form, profiles.copy_profile, original=original, **form.cleaned_data)
        if copied:
            messages.success(request, f"{copied} was made: change its limits one by one.")
            return redirect(copied)
    context = {"place": "foods", "original": original, "form": form}
    return render(request, "nutrients/profile_form.html", context)


@read_or_write
@may_change
def profile_edit(request, key):
    profile = _own(key)
    form = OwnProfileForm(request.POST if request.method == "POST" else None, instance=_own(key))
    if form.is_valid():
        form.save()
        messages.success(request, f"{form.instance} was changed.")
        return redirect(form.instance)
    context = {"place": "foods", "profile": profile, "form": form}
    return render(request, "nutrients/profile_form.html", context)


def _own(key: str) -> Profile:
    """A profile that the practice made. Published ones are copied, not changed."""
    profile = _profile(key)
    if not profile.own:
        raise PermissionDenied
    return profile


@require_POST
@may_change
def profile_delete(request, key):
    profile = _own(key)
    try:
        profiles.delete_profile(profile=profile)
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
        return redirect(profile)
    messages.success(request, f"{profile} was deleted.")
    return redirect("nutrients:profile-list")
