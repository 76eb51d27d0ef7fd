"""One limit with its changes, and the form to change it; limits added to and taken out of own profiles."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from nutrients import profiles
from nutrients.changes import changes_of, written
from nutrients.models import Limit, Profile
from nutrients.profile_forms import LimitForm, NewLimitForm, RemoveForm

may_see = permission_required("nutrients.view_limit", raise_exception=True)
may_change = permission_required("nutrients.change_limit", raise_exception=True)
read_or_write = require_http_methods(["GET", "HEAD", "POST"])


def _limit(pk: int, **which) -> Limit:
    limits = Limit.objects.select_related("profile__standard", "nutrient").with_changed()
    return get_object_or_404(limits, pk=pk, **which)


@read_or_write
@may_see
def limit_detail(request, pk):
    limit = _limit(pk)
    sent = request.POST if request.method == "POST" else None
    form = LimitForm(sent, instance=_limit(pk))
    if sent is not None:
        if not request.user.has_perm("nutrients.change_limit"):
            raise PermissionDenied
        if form.is_valid() and written(form, profiles.change_limit, limit=form.instance, **form.why()):
            return _done(request, limit.profile, f"{limit.nutrient} was changed, with its reason.", limit)
    return _page(request, limit, form, RemoveForm(prefix="remove"))


def _page(request, limit: Limit, form: LimitForm, removal: RemoveForm):
    context = {
        "place": "foods",
        "limit": limit,
        "form": form,
        "removal": removal,
        "changes": changes_of(limit, LimitForm.Meta.fields),
    }
    return render(request, "nutrients/limit_detail.html", context)


def _done(request, profile: Profile, said: str, limit: Limit | None = None):
    messages.success(request, f"{profile}: {said}")
    return redirect(f"{profile.get_absolute_url()}{f'#limit-{limit.pk}' if limit else ''}")


@read_or_write
@may_change
def limit_new(request, key):
    profile = get_object_or_404(Profile.objects.select_related("standard"), key=key, own=True)
    form = NewLimitForm(
        request.POST if request.method == "POST" else None,
        instance=Limit(profile=profile),
        initial={"source": profile.targets_by},
    )
    if form.is_valid() and written(
        form, profiles.add_limit, limit=form.instance, reason=form.cleaned_data["reason"]
    ):
        return _done(request, profile, f"{form.instance.nutrient} was added.", form.instance)
    context = {"place": "foods", "profile": profile, "form": form}
    return render(request, "nutrients/limit_form.html", context)


@require_POST
@may_change
def limit_remove(request, pk):
    limit = _limit(pk, profile__own=True)
    form = RemoveForm(request.POST, prefix="remove")
    if form.is_valid() and written(
        form, profiles.remove_limit, limit=limit, reason=form.cleaned_data["reason"]
    ):
        return _done(request, limit.profile, f"{limit.nutrient} has this limit no more.")
    return _page(request, limit, LimitForm(instance=_limit(pk)), form)
