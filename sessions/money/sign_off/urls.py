from django.urls import path

from sessions.money.sign_off import views
from sessions.money.stored import HOUSE_COPY, WORK_ORDER
from sessions.papers.stored.serving import paper_page

app_name = "sign_off"
urlpatterns = [
    path("sessions/<int:pk>/sign-off/", views.session_sign_off, name="session"),
    path("sessions/<int:pk>/sign-off/hours/new/", views.hours_create, name="hours_create"),
    path("sessions/<int:pk>/sign-off/work-order/new/", views.issue, name="issue"),
    path("sessions/<int:pk>/sign-off/send/", views.send, name="send"),
    path("work-orders/<int:pk>/sign/", views.sign, name="sign"),
    path("work-orders/<int:pk>/paper.pdf", paper_page, {"kind": WORK_ORDER}, name="work_order_pdf"),
    path("work-orders/<int:pk>/house.pdf", paper_page, {"kind": HOUSE_COPY}, name="house_copy_pdf"),
]
