"""Teachers and helpers sign in and out."""

from __future__ import annotations

from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpResponse

from kits.forms.sign_in import SignInForm
from kits.services import learner_session

__all__ = ["SignIn", "SignOut"]


class SignIn(LoginView):
    """The sign-in page; tries are throttled by django-axes."""

    template_name = "kits/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        learner_session.end(self.request)
        return super().form_valid(form)


class SignOut(LogoutView):
    """Only by POST, so that no link or picture can sign anyone out."""
