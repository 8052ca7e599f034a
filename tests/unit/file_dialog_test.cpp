// The desktop's file dialog, against a portal of the test's own on a session bus of its own: what is asked follows the
// XDG Desktop Portal's specification (org.freedesktop.portal.FileChooser version 1, freedesktop.org), from memory of it.
#include <doctest/doctest.h>

#include <gio/gio.h>

#include <atomic>
#include <cstdlib>
#include <string>
#include <thread>

#include "bench/file_dialog.h"
#include "support/run_program.h"

using namespace boardlore;

namespace {

constexpr const char* face = R"(<node>
  <interface name="org.freedesktop.portal.FileChooser">
    <method name="OpenFile"><arg type="s" direction="in"/><arg type="s" direction="in"/><arg type="a{sv}" direction="in"/><arg type="o" direction="out"/></method>
  </interface>
  <interface name="org.freedesktop.portal.Request"><method name="Close"/></interface>
</node>)";

// Answers each request with `response` and `uris`, or (response 99) leaves the dialog standing.
struct Portal {
  guint32 response = 0;
  std::vector<const char*> uris;
  std::string title, parent;
  bool several = false;
  std::atomic<bool> asked = false, closed = false;

  static void call(GDBusConnection* bus, const char* sender, const char*, const char* interface, const char* method, GVariant* parameters, GDBusMethodInvocation* invocation, void* self) {
    Portal& portal = *static_cast<Portal*>(self);
    if (std::string(method) == "Close") {
      portal.closed = true;
      return g_dbus_method_invocation_return_value(invocation, nullptr);
    }
    const char *parent = nullptr, *title = nullptr, *token = nullptr;
    GVariant* options = nullptr;
    g_variant_get(parameters, "(&s&s@a{sv})", &parent, &title, &options);
    gboolean several = FALSE;
    g_variant_lookup(options, "handle_token", "&s", &token);
    g_variant_lookup(options, "multiple", "b", &several);
    portal.title = title, portal.parent = parent, portal.several = several != FALSE;
    std::string name = std::string(sender).substr(1);
    for (char& c : name) c = c == '.' ? '_' : c;
    const std::string handle = "/org/freedesktop/portal/desktop/request/" + name + "/" + (token ? token : "none");
    g_dbus_method_invocation_return_value(invocation, g_variant_new("(o)", handle.c_str()));
    GDBusNodeInfo* info = g_dbus_node_info_new_for_xml(face, nullptr);
    static const GDBusInterfaceVTable table{call, nullptr, nullptr, {}};
    g_dbus_connection_register_object(bus, handle.c_str(), info->interfaces[1], &table, self, nullptr, nullptr);
    g_dbus_node_info_unref(info);
    if (portal.response != 99) {
      GVariantBuilder results;
      g_variant_builder_init(&results, G_VARIANT_TYPE_VARDICT);
      g_variant_builder_add(&results, "{sv}", "uris", g_variant_new_strv(portal.uris.data(), static_cast<gssize>(portal.uris.size())));
      g_dbus_connection_emit_signal(bus, sender, handle.c_str(), "org.freedesktop.portal.Request", "Response", g_variant_new("(ua{sv})", portal.response, &results), nullptr);
    }
    g_variant_unref(options);
    portal.asked = true;
    static_cast<void>(interface);
  }
};

// A bus of its own, with the portal on it while `work` runs.
template <class Work>
void on_a_bus(Portal* portal, Work work) {
  GTestDBus* bus = g_test_dbus_new(G_TEST_DBUS_NONE);
  g_test_dbus_up(bus);
  std::atomic<bool> ready = false, over = false;
  std::thread serving([&] {
    GMainContext* context = g_main_context_new();
    g_main_context_push_thread_default(context);
    const auto flags = static_cast<GDBusConnectionFlags>(G_DBUS_CONNECTION_FLAGS_AUTHENTICATION_CLIENT | G_DBUS_CONNECTION_FLAGS_MESSAGE_BUS_CONNECTION);
    GDBusConnection* connection = g_dbus_connection_new_for_address_sync(g_test_dbus_get_bus_address(bus), flags, nullptr, nullptr, nullptr);
    if (portal) {
      GDBusNodeInfo* info = g_dbus_node_info_new_for_xml(face, nullptr);
      static const GDBusInterfaceVTable table{Portal::call, nullptr, nullptr, {}};
      g_dbus_connection_register_object(connection, "/org/freedesktop/portal/desktop", info->interfaces[0], &table, portal, nullptr, nullptr);
      g_dbus_node_info_unref(info);
      GVariant* owned = g_dbus_connection_call_sync(connection, "org.freedesktop.DBus", "/org/freedesktop/DBus", "org.freedesktop.DBus", "RequestName", g_variant_new("(su)", "org.freedesktop.portal.Desktop", 4U), nullptr,
                                                    G_DBUS_CALL_FLAGS_NONE, -1, nullptr, nullptr);
      if (owned) g_variant_unref(owned);
    }
    ready = true;
    while (!over)
      if (!g_main_context_iteration(context, FALSE)) std::this_thread::sleep_for(std::chrono::milliseconds(2));
    g_dbus_connection_close_sync(connection, nullptr, nullptr);
    g_object_unref(connection);
    g_main_context_pop_thread_default(context);
    g_main_context_unref(context);
  });
  while (!ready) std::this_thread::sleep_for(std::chrono::milliseconds(2));
  work();
  over = true;
  serving.join();
  g_test_dbus_stop(bus);  // `down` also waits for connections that the library shares, of which there are none
  g_object_unref(bus);
}

bool no_bus_daemon() { return run_shell("command -v dbus-daemon").exit_code != 0; }

}  // namespace

TEST_CASE("files chosen in the desktop's dialog come back as paths") {
  if (no_bus_daemon()) {
    MESSAGE("skipped: dbus-daemon is not here");
    return;
  }
  Portal portal;
  SUBCASE("chosen: several, with names that an address must quote") {
    portal.uris = {"file:///photos/top%20side%20%C3%A9.jpg", "file:///photos/bottom.jpg", "https://elsewhere.invalid/x.jpg"};
    on_a_bus(&portal, [] {
      const auto files = files_from_dialog("Photos", "x11:2a00007", {});
      REQUIRE(bool(files));
      CHECK(*files == std::vector<std::filesystem::path>{"/photos/top side é.jpg", "/photos/bottom.jpg"});
    });
    CHECK(portal.title == "Photos");
    CHECK(portal.parent == "x11:2a00007");
    CHECK(portal.several);
  }
  SUBCASE("closed without a choice: nothing, and no error") {
    portal.response = 1;
    on_a_bus(&portal, [] {
      const auto files = files_from_dialog("Photos", "", {});
      REQUIRE(bool(files));
      CHECK(files->empty());
    });
  }
  SUBCASE("stopped while the dialog stands: it is closed") {
    portal.response = 99;
    on_a_bus(&portal, [&] {
      std::stop_source stop;
      std::thread later([&] {
        while (!portal.asked) std::this_thread::sleep_for(std::chrono::milliseconds(2));
        stop.request_stop();
      });
      const auto files = files_from_dialog("Photos", "", stop.get_token());
      later.join();
      REQUIRE(bool(files));
      CHECK(files->empty());
      for (int i = 0; i < 500 && !portal.closed; ++i) std::this_thread::sleep_for(std::chrono::milliseconds(2));
      CHECK(portal.closed);
    });
  }
}

TEST_CASE("a desktop without a dialog, and no desktop at all, are said") {
  if (no_bus_daemon()) {
    MESSAGE("skipped: dbus-daemon is not here");
    return;
  }
  on_a_bus(nullptr, [] {
    const auto files = files_from_dialog("Photos", "", {});
    REQUIRE(!files);
    CHECK(files.problem().outcome == Outcome::system_failed);
    CHECK(files.problem().where == "the desktop's file dialog");
  });
  setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nonexistent/bus", 1);
  CHECK(!files_from_dialog("Photos", "", {}));
  unsetenv("DBUS_SESSION_BUS_ADDRESS");
}
