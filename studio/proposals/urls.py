from django.urls import path

from studio.proposals import appointment_views, booking_views, coming_views, selling_views, views

app_name = "proposals"
urlpatterns = [
    path("for/<str:public_id>/", views.for_commission, name="for_commission"),
    path("for/<str:public_id>/issue/", views.issue, name="issue"),
    path("for/<str:public_id>/variation/", selling_views.begin_variation, name="begin_variation"),
    path("for/<str:public_id>/variation/end/", selling_views.end_variation, name="end_variation"),
    path("for/<str:public_id>/cancel/", selling_views.cancel, name="cancel"),
    path("for/<str:public_id>/appointments/", appointment_views.appointments, name="appointments"),
    path("for/<str:public_id>/appointments/agree/", appointment_views.agreed, name="agree"),
    path("for/<str:public_id>/appointments/off/", appointment_views.off, name="call_off"),
    path("for/<str:public_id>/appointments/letter/", appointment_views.write, name="write_appointment"),
    path("clients/<str:public_id>/erase/", views.erase, name="erase_client"),
    path("issues/<str:public_id>/pdf/", views.pdf, name="pdf"),
    path("issues/<str:public_id>/send/", views.send, name="send"),
    path("issues/<str:public_id>/link/", views.new_link, name="new_link"),
    path("issues/<str:public_id>/revoke/", views.revoke, name="revoke"),
    path("issues/<str:public_id>/withdraw/", views.withdraw, name="withdraw"),
    path("issues/<str:public_id>/record/", views.record, name="record"),
    path("coming/", coming_views.might_come, name="coming"),
    path("jobs/<str:source>/", coming_views.job, name="job"),
    path("issues/<str:public_id>/hold/", coming_views.hold_slot, name="hold"),
    path("issues/<str:public_id>/book/", booking_views.book_sold, name="book"),
]
