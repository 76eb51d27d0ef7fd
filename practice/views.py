"""Today, the search over everything and the practice's settings."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from practice import queries
from practice.forms import PracticeForm
from practice.models import PracticeProfile
from practice.today.page import today as what_waits


@require_safe
def today(request):
    day = timezone.localdate()
    found = what_waits(day, request.GET.get("all", ""))
    return render(request, "practice/today.html", {"place": "today", "day": day, "today": found})


@require_safe
def search(request):
    words = request.GET.get("q", "").replace("\0", "").strip()[:100]
    context = {"search_words": words, "found": queries.search_everything(words)}
    return render(request, "practice/search.html", context)


@permission_required("practice.administer", raise_exception=True)
def settings(request):
    form = PracticeForm(request.POST or None, request.FILES or None, instance=PracticeProfile.objects.first())
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "The practice's particulars were saved.")
        return redirect("practice:settings")
    return render(request, "practice/settings.html", {"form": form})
