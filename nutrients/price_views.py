"""Prices of foods and supplements: the list, and one."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from nutrients.models import Food, Price
from nutrients.price_forms import PriceForm


@require_safe
@permission_required("nutrients.view_price", raise_exception=True)
def price_list(request):
    prices = Price.objects.select_related("food__supplement")
    return render(request, "nutrients/price_list.html", {"place": "foods", "prices": prices})


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("nutrients.change_price", raise_exception=True)
def price_edit(request, pk):
    food = get_object_or_404(Food.objects.select_related("supplement", "price"), pk=pk)
    form = PriceForm(request.POST or None, food=food)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"The price of {food} was saved.")
        return redirect("nutrients:price-list")
    return render(request, "nutrients/price_form.html", {"place": "foods", "form": form, "food": food})
