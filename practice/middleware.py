"""Every page needs a sign-in; a fragment asked for after the session ended sends the whole page there."""

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.views import redirect_to_login
from django.utils.cache import patch_vary_headers
from django_htmx.http import HttpResponseClientRedirect


class SignInMiddleware(LoginRequiredMiddleware):
    def __call__(self, request):
        response = super().__call__(request)
        patch_vary_headers(response, ["HX-Request"])
        return response

    def handle_no_permission(self, request, view_func):
        if not request.htmx:
            return super().handle_no_permission(request, view_func)
        page = request.htmx.current_url_abs_path or "/"
        return HttpResponseClientRedirect(redirect_to_login(page, self.get_login_url(view_func)).url)
