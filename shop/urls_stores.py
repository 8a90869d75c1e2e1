"""Addresses of Stores and Orders: the shelf, purchase orders, suppliers. Included from shop.urls."""

from django.urls import path

from shop.urls_tables import count_pages, purchase_pages
from shop.views import (
    labels,
    lending,
    order_dates,
    order_lines,
    order_mail,
    order_making,
    orders,
    price_lists,
    stock_files,
    stores,
    substitutes,
    suppliers,
    telling,
    unit_numbers,
)

part = "stores/<slug:public_id>/"
stores_pages = [
    path("stores/", stores.stores, name="stores"),
    path("stores/export/<slug:form>/", stock_files.stores_file, name="stores-export"),
    *count_pages,
    path("stores/reorder/", suppliers.stock_reorder, name="stock-reorder"),
    path("stores/labels.pdf", labels.stores_labels, name="stores-labels"),
    path(f"{part}labels.pdf", labels.stock_labels, name="stock-labels"),
    path(f"{part}least/", suppliers.stock_least, name="stock-least"),
    path(part, stores.stock, name="stock"),
    path(f"{part}count/", stores.stock_counted, name="stock-count"),
    path(f"{part}receive/", stores.stock_received, name="stock-receive"),
    path(f"{part}scrap/", stores.stock_scrapped, name="stock-scrap"),
    path(f"{part}send-back/", stores.stock_sent_back, name="stock-send-back"),
    path(f"{part}stand-ins/", substitutes.stock_stand_ins, name="stock-stand-ins"),
    path(f"{part}stand-ins/<slug:stand_in_id>/", substitutes.stock_stand_in_away, name="stock-stand-in-away"),
    path("builds/<slug:public_id>/parts/<slug:component_id>/swap/", substitutes.need_swap, name="need-swap"),
    path("builds/<slug:public_id>/parts/<slug:component_id>/lend/", lending.need_lend, name="need-lend"),
    path("builds/<slug:public_id>/parts/<slug:component_id>/numbers/", unit_numbers.need_numbers, name="need-numbers"),
]

order = "orders/<slug:public_id>/"
orders_pages = [
    path("orders/", orders.orders, name="orders"),
    path("orders/export/<slug:form>/", stock_files.orders_file, name="orders-export"),
    *purchase_pages,
    path("orders/to-make/", order_making.orders_to_make, name="orders-to-make"),
    path("orders/to-make/<slug:supplier_id>/", order_making.order_make_now, name="order-make"),
    path(order, orders.order, name="order"),
    path(f"{order}lines/<slug:line_id>/", orders.order_line, name="order-line"),
    path(f"{order}lines/<slug:line_id>/cancel/", order_lines.order_line_away, name="order-line-cancel"),
    path(f"{order}send/", orders.order_send, name="order-send"),
    path(f"{order}confirm/", order_lines.order_confirm, name="order-confirm"),
    path(f"{order}receive/", orders.order_receive, name="order-receive"),
    path(f"{order}wrong/", order_lines.order_wrong, name="order-wrong"),
    path(f"{order}dates/", order_dates.order_dates, name="order-dates"),
    path(f"{order}document/", order_mail.order_document, name="order-document"),
    path(f"{order}document.pdf", order_mail.order_pdf, name="order-pdf"),
    path(f"{order}mail/", order_mail.order_letter_page, name="order-mail"),
    path("letters/<slug:mail_id>/again/", order_mail.letter_again, name="letter-again"),
    path(f"{order}dates/<slug:entry>/undo/", telling.order_dates_undo, name="order-dates-undo"),
    path(f"{order}tell/", telling.order_tell, name="order-tell"),
    path(f"{order}tell/<slug:build_id>/", telling.order_tell_one, name="order-tell-one"),
    path(f"{order}cancel/", orders.order_cancel, name="order-cancel"),
]

supplier = "suppliers/<slug:public_id>/"
suppliers_pages = [
    path("suppliers/", suppliers.suppliers, name="suppliers"),
    path(supplier, suppliers.supplier, name="supplier"),
    path(f"{supplier}closed/", suppliers.supplier_closed, name="supplier-closed"),
    path(f"{supplier}open/", suppliers.supplier_open, name="supplier-open"),
    path(f"{supplier}prices/", price_lists.price_list, name="price-list"),
    path(f"{supplier}prices/<slug:file_id>/", price_lists.price_list_file, name="price-list-file"),
    path(f"{supplier}prices/<slug:file_id>/apply/", price_lists.price_list_done, name="price-list-apply"),
    path(f"{supplier}offers/<slug:component_id>/breaks/", suppliers.offer_breaks, name="offer-breaks"),
]
stores_pages += suppliers_pages
