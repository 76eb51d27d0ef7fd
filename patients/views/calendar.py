"""The re-checks in a calendar program: a person's secret addresses, and the file that is found there."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required, permission_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from patients import calendar_services
from patients.models import CalendarAddress


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("patients.add_calendaraddress", raise_exception=True)
def calendar(request):
    """One's own addresses. A new one is shown in the answer to the form, this once."""
    shown = ""
    if request.method == "POST":
        secret = calendar_services.make_address(person=request.user)
        shown = request.build_absolute_uri(reverse("patients:calendar-file", args=[secret]))
    addresses = request.user.calendar_addresses.filter(withdrawn_at__isnull=True)
    context = {"place": "today", "addresses": addresses, "shown": shown}
    return render(request, "patients/calendar.html", context)


@require_POST
@permission_required("patients.change_calendaraddress", raise_exception=True)
def calendar_withdraw(request, pk):
    address = get_object_or_404(CalendarAddress, pk=pk, person=request.user)
    calendar_services.withdraw_address(address=address)
    messages.success(request, "The address was withdrawn: a calendar finds nothing there any more.")
    return redirect("patients:calendar")


@login_not_required
@never_cache
@require_safe
def calendar_file(request, secret):
    """For a calendar program, which cannot sign in."""
    address = calendar_services.address_of(secret)
    if address is None:
        raise Http404("There is no such calendar.")
    calendar_services.note_asked(address=address)
    content = calendar_services.rechecks_file(request.practice.name)
    answer = HttpResponse(content, content_type="text/calendar; charset=utf-8")
    answer["Content-Disposition"] = 'inline; filename="rechecks.ics"'
    return answer
