from django.contrib.auth.views import LoginView, LogoutView
from django.urls import path

from studio.people.audience import audience

sign_in = LoginView.as_view(template_name="people/sign_in.html", redirect_authenticated_user=True)

urlpatterns = [
    path("sign-in/", audience("anyone")(sign_in), name="sign-in"),
    path("sign-out/", audience("workshop")(LogoutView.as_view()), name="sign-out"),
]
