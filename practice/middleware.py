"""Every page needs a sign-in and knows the practice it belongs to.

A fragment asked for after the session ended sends the whole page to the sign-in.
"""

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.views import redirect_to_login
from django.utils.cache import patch_cache_control, patch_vary_headers
from django.utils.functional import SimpleLazyObject
from django_htmx.http import HttpResponseClientRedirect

from practice.models import PracticeProfile


class SignInMiddleware(LoginRequiredMiddleware):
    def __call__(self, request):
        response = super().__call__(request)
        patch_vary_headers(response, ["HX-Request"])
        patch_cache_control(response, private=True, no_cache=True)
        return response

    def handle_no_permission(self, request, view_func):
        if not request.htmx:
            return super().handle_no_permission(request, view_func)
        page = request.htmx.current_url_abs_path or "/"
        return HttpResponseClientRedirect(redirect_to_login(page, self.get_login_url(view_func)).url)


class PracticeMiddleware:
    """Hands the practice's particulars to every app as `request.practice`, read when first asked for."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.practice = SimpleLazyObject(lambda: PracticeProfile.objects.first() or PracticeProfile())
        return self.get_response(request)
