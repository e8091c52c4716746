"""Headers that every response carries."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

__all__ = ["CONTENT_SECURITY_POLICY", "PERMISSIONS_POLICY", "SecurityHeadersMiddleware"]

# Nothing inline, nothing from elsewhere: a script or a style is a file of ours, or it does not run.
CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    )
)

# What no page of ours has any use for, so that an injected script has none either. The camera stays off:
# a photo comes through the tablet's own file chooser.
PERMISSIONS_POLICY = ", ".join(
    f"{feature}=()"
    for feature in (
        "camera",
        "display-capture",
        "geolocation",
        "microphone",
        "midi",
        "payment",
        "serial",
        "usb",
    )
)


class SecurityHeadersMiddleware:
    """Adds the content and permissions policies; Django's own middleware adds the older headers."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers["Content-Security-Policy"] = CONTENT_SECURITY_POLICY
        response.headers["Permissions-Policy"] = PERMISSIONS_POLICY
        return response
