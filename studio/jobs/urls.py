from django.urls import path

from studio.jobs import start_views, taping_views, views

app_name = "jobs"
urlpatterns = [
    path("for/<str:public_id>/payments/", views.payments, name="payments"),
    path("for/<str:public_id>/start/", start_views.start, name="start"),
    path("for/<str:public_id>/taping/", taping_views.taping, name="taping"),
    path("for/<str:public_id>/colours/", start_views.colours, name="colours"),
    path("for/<str:public_id>/release/", start_views.release, name="release"),
    path("for/<str:public_id>/standstill/", start_views.standstill, name="standstill"),
    path("colours/<str:public_id>/back/", start_views.take_back, name="take_back_colours"),
    path("payments/<str:public_id>/counter/", views.counter_payment, name="counter"),
]
