"""A dog's weights: the charts, the owner's weigh-ins, and how fast a loss is wanted."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from patients import recheck_services
from patients.forms import Together
from patients.models import HomeWeighIn, Patient
from patients.views.records import posted, told_why
from patients.weight_curve import weight_curve
from patients.weight_forms import HomeWeighInForm, HomeWeighInsForm

SVG = "image/svg+xml"


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def weight_chart(request, pk):
    from patients.charts import weight_chart as draw  # drawing takes a second to load: not at start-up

    curve = weight_curve(get_object_or_404(Patient, pk=pk))
    if not curve.weights:
        raise Http404("This dog was never weighed.")
    picture = draw(
        [(weighed.entry.day, weighed.entry.kg) for weighed in curve.weights if weighed.visit],
        curve.target_kg,
        home=[(weighed.entry.day, weighed.entry.kg) for weighed in curve.weights if weighed.home],
        corridor=curve.corridor,
        scores=[(weighed.entry.day, weighed.visit.bcs) for weighed in curve.weights if weighed.visit],
        marks=[(mark.day, mark.letter) for mark in curve.marks],
    )
    return HttpResponse(picture, content_type=SVG)


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def growth_chart(request, pk):
    from patients.charts import growth_chart as draw

    curve = weight_curve(get_object_or_404(Patient, pk=pk))
    if not curve.growth:
        raise Http404("There is no growth to draw: the dog is grown, or its adult weight is not known.")
    return HttpResponse(draw(curve.growth), content_type=SVG)


@permission_required("patients.add_homeweighin", raise_exception=True)
def home_weigh_ins_new(request, pk):
    patient = get_object_or_404(Patient, pk=pk)
    if patient.why_not_fed:
        return told_why(request, patient)
    form = HomeWeighInsForm(posted(request), patient=patient)
    form.fields["lines"].required = True
    forms = Together(form)
    if request.method == "POST" and forms.is_valid():
        saved = forms.saved(recheck_services.record_home_weigh_ins, weigh_ins=form.weigh_ins)
        if saved:
            messages.success(request, f"{saved} weigh-in{'' if saved == 1 else 's'} at home saved.")
            return redirect(f"{patient.get_absolute_url()}#weights")
    context = {"place": "patients", "patient": patient, "form": form, "forms": forms}
    return render(request, "patients/home_weigh_ins.html", context)


@permission_required("patients.change_homeweighin", raise_exception=True)
def home_weigh_in_edit(request, pk):
    weigh_in = get_object_or_404(HomeWeighIn.objects.select_related("patient"), pk=pk)
    day = weigh_in.date
    form = HomeWeighInForm(posted(request), instance=weigh_in)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "The weigh-in was saved.")
        return redirect(f"{weigh_in.patient.get_absolute_url()}#weights")
    context = {"place": "patients", "patient": weigh_in.patient, "form": form, "day": day}
    return render(request, "patients/home_weigh_in.html", context)


@require_POST
@permission_required("patients.change_patient", raise_exception=True)
def loss_pace(request, pk):
    """Switch between the usual and the gentle corridor of a loss."""
    patient = get_object_or_404(Patient, pk=pk)
    patient.gentle_loss = request.POST.get("pace") == "gentle"
    patient.save(update_fields=["gentle_loss"])
    return redirect(f"{patient.get_absolute_url()}#weights")
