"""An owner's page: the dogs, what was said, what is to be done."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from patients import contact_services, queries
from patients.activity_queries import events_of_one
from patients.contact_forms import ContactForm, TaskForm
from patients.models import Contact, Owner, Task
from patients.views.records import posted

DONE_SHOWN = 20


@require_safe
@permission_required("patients.view_owner", raise_exception=True)
def owner_detail(request, pk):
    return _page(request, get_object_or_404(Owner, pk=pk))


def _page(request, owner: Owner, contact: ContactForm | None = None, task: TaskForm | None = None):
    """With the forms as they were typed, or empty ones."""
    tasks = owner.tasks.select_related("patient", "made_by", "done_by")
    context = {
        "place": "patients",
        "owner": owner,
        "day": timezone.localdate(),
        "dogs": queries.listed(owner.patients.kept().order_by("name", "pk")),
        "contacts": list(queries.contacts_of(owner)),
        "open_tasks": list(tasks.filter(done_at__isnull=True)),
        "done_tasks": tasks.filter(done_at__isnull=False).order_by("-done_at")[:DONE_SHOWN],
        "contact_form": contact or ContactForm(owner=owner),
        "task_form": task or TaskForm(owner=owner),
    }
    return render(request, "patients/owner_detail.html", context)


@require_POST
@permission_required("patients.add_contact", raise_exception=True)
def contact_new(request, pk):
    owner = get_object_or_404(Owner, pk=pk)
    form = ContactForm(request.POST, owner=owner)
    if not form.is_valid():
        return _page(request, owner, contact=form)
    contact_services.keep_contact(contact=form.instance, by=request.user)
    messages.success(request, "What was said was kept.")
    return redirect("patients:owner-detail", owner.pk)


@permission_required("patients.view_contact", raise_exception=True)
def contact_detail(request, pk):
    """What was said and what it said before; to be mended by who noted it."""
    contact = get_object_or_404(Contact.objects.select_related("owner", "patient", "by"), pk=pk)
    mends = request.user.has_perm("patients.change_contact") and contact_services.is_own(
        contact, request.user
    )
    if request.method == "POST" and not mends:
        raise PermissionDenied
    context = {"place": "patients", "owner": contact.owner, "contact": contact, "at": contact.at}
    form = ContactForm(posted(request), owner=contact.owner, instance=contact) if mends else None
    if request.method == "POST" and form.is_valid():
        contact_services.mend_contact(contact=form.instance, by=request.user)
        messages.success(request, "What was said was mended.")
        return redirect("patients:owner-detail", contact.owner_id)
    context |= {"form": form, "events": events_of_one(contact)}
    return render(request, "patients/contact_detail.html", context)


@require_POST
@permission_required("patients.add_task", raise_exception=True)
def task_new(request, pk):
    owner = get_object_or_404(Owner, pk=pk)
    form = TaskForm(request.POST, owner=owner)
    if not form.is_valid():
        return _page(request, owner, task=form)
    contact_services.add_task(task=form.instance, by=request.user)
    messages.success(request, "The task was added.")
    return redirect("patients:owner-detail", owner.pk)


@require_POST
@permission_required("patients.change_task", raise_exception=True)
def task_done(request, pk):
    """`done`: yes, or anything else for not done after all; `back`: a page of ours to come back to."""
    task = get_object_or_404(Task, pk=pk)
    done = request.POST.get("done") == "yes"
    contact_services.set_done(task=task, done=done, by=request.user)
    messages.success(request, f"{'Done' if done else 'Not done yet'}: {task.text}")
    back = request.POST.get("back", "")
    if url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        return redirect(back)
    return redirect("patients:owner-detail", task.owner_id)
