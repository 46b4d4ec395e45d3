from django.urls import path

from studio.jobs import views

app_name = "jobs"
urlpatterns = [
    path("for/<str:public_id>/payments/", views.payments, name="payments"),
    path("payments/<str:public_id>/counter/", views.counter_payment, name="counter"),
]
