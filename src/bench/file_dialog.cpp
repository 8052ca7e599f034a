#include "bench/file_dialog.h"

#include <gio/gio.h>

#include <algorithm>
#include <chrono>
#include <memory>
#include <optional>
#include <thread>
#include <utility>

namespace boardlore {
namespace {

constexpr const char* portal = "org.freedesktop.portal.Desktop";
constexpr const char* request_face = "org.freedesktop.portal.Request";
constexpr int call_limit_ms = 15'000;  // to show the dialog; how long a person looks at it is not limited

struct Unref {
  void operator()(GDBusConnection* bus) const { g_object_unref(bus); }
  void operator()(GMainContext* context) const { g_main_context_pop_thread_default(context), g_main_context_unref(context); }
  void operator()(GVariant* value) const { g_variant_unref(value); }
  void operator()(GError* error) const { g_error_free(error); }
  void operator()(char* text) const { g_free(text); }
};
template <class T>
using Owned = std::unique_ptr<T, Unref>;

using Files = std::vector<std::filesystem::path>;

Files files_in(GVariant* results) {
  Files files;
  const Owned<GVariant> uris(g_variant_lookup_value(results, "uris", G_VARIANT_TYPE_STRING_ARRAY));
  if (!uris) return files;
  GVariantIter iter;
  g_variant_iter_init(&iter, uris.get());
  const char* uri = nullptr;
  while (g_variant_iter_next(&iter, "&s", &uri))
    if (const Owned<char> path(g_filename_from_uri(uri, nullptr, nullptr)); path) files.emplace_back(path.get());
  return files;
}

void on_response(GDBusConnection*, const char*, const char*, const char*, const char*, GVariant* parameters, void* answer) {
  guint32 response = 2;
  GVariant* results = nullptr;
  if (!g_variant_is_of_type(parameters, G_VARIANT_TYPE("(ua{sv})"))) return;
  g_variant_get(parameters, "(u@a{sv})", &response, &results);
  const Owned<GVariant> owned(results);
  *static_cast<std::optional<Files>*>(answer) = response == 0 ? files_in(results) : Files{};
}

Problem no_dialog(const GError* error) { return {"", "the desktop's file dialog", "a desktop portal on the session bus", error ? error->message : "none", Outcome::system_failed}; }

}  // namespace

Result<Files> files_from_dialog(const std::string& title, const std::string& parent, const std::stop_token& stop) {
  // Signals come to the thread that subscribed: a context of its own, and a connection nobody else reads from.
  const Owned<GMainContext> context(g_main_context_new());
  g_main_context_push_thread_default(context.get());
  GError* failed = nullptr;
  const Owned<char> address(g_dbus_address_get_for_bus_sync(G_BUS_TYPE_SESSION, nullptr, &failed));
  const Owned<GError> address_error(std::exchange(failed, nullptr));
  if (!address) return no_dialog(address_error.get());
  const Owned<GDBusConnection> bus(g_dbus_connection_new_for_address_sync(
      address.get(), static_cast<GDBusConnectionFlags>(G_DBUS_CONNECTION_FLAGS_AUTHENTICATION_CLIENT | G_DBUS_CONNECTION_FLAGS_MESSAGE_BUS_CONNECTION), nullptr, nullptr, &failed));
  const Owned<GError> bus_error(std::exchange(failed, nullptr));
  if (!bus) return no_dialog(bus_error.get());

  // The request's path follows from our name and token, so the answer can't come before somebody listens for it.
  const std::string token = "boardlore" + std::to_string(std::chrono::steady_clock::now().time_since_epoch().count());
  std::string sender = std::string(g_dbus_connection_get_unique_name(bus.get())).substr(1);
  std::replace(sender.begin(), sender.end(), '.', '_');
  const std::string request = "/org/freedesktop/portal/desktop/request/" + sender + "/" + token;
  std::optional<Files> answer;
  const guint heard = g_dbus_connection_signal_subscribe(bus.get(), portal, request_face, "Response", request.c_str(), nullptr, G_DBUS_SIGNAL_FLAGS_NONE, on_response, &answer, nullptr);

  GVariantBuilder options;
  g_variant_builder_init(&options, G_VARIANT_TYPE_VARDICT);
  g_variant_builder_add(&options, "{sv}", "handle_token", g_variant_new_string(token.c_str()));
  g_variant_builder_add(&options, "{sv}", "multiple", g_variant_new_boolean(TRUE));
  const Owned<GVariant> handle(g_dbus_connection_call_sync(bus.get(), portal, "/org/freedesktop/portal/desktop", "org.freedesktop.portal.FileChooser", "OpenFile",
                                                           g_variant_new("(ssa{sv})", parent.c_str(), title.c_str(), &options), G_VARIANT_TYPE("(o)"), G_DBUS_CALL_FLAGS_NONE, call_limit_ms, nullptr, &failed));
  const Owned<GError> call_error(failed);
  while (handle && !answer && !stop.stop_requested() && !g_dbus_connection_is_closed(bus.get()))
    if (!g_main_context_iteration(context.get(), FALSE)) std::this_thread::sleep_for(std::chrono::milliseconds(20));
  if (handle && !answer && !g_dbus_connection_is_closed(bus.get()))
    g_dbus_connection_call(bus.get(), portal, request.c_str(), request_face, "Close", nullptr, nullptr, G_DBUS_CALL_FLAGS_NONE, -1, nullptr, nullptr, nullptr);
  g_dbus_connection_signal_unsubscribe(bus.get(), heard);
  g_dbus_connection_flush_sync(bus.get(), nullptr, nullptr);
  g_dbus_connection_close_sync(bus.get(), nullptr, nullptr);
  while (g_main_context_iteration(context.get(), FALSE)) {
  }
  if (!handle) return no_dialog(call_error.get());
  return answer.value_or(Files{});
}

}  // namespace boardlore
