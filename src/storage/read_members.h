// From checked JSON to domain values, by the member lists of describe.h.
//
// Every fault is noted with its JSON pointer and reading goes on, so that `check` can list them all; the
// caller takes the result only if there was none.
#pragma once

#include <algorithm>
#include <cmath>

#include "storage/describe.h"
#include "storage/json_text.h"
#include "storage/names.h"

namespace boardlore::storage {

constexpr int format_major = 1;
constexpr int format_minor = 0;
constexpr std::size_t max_faults = 100;  // more are not listed

class Reader {
 public:
  explicit Reader(std::string file) : file_(std::move(file)) {}

  const std::vector<Problem>& faults() const { return faults_; }

  void read(const Json& json, bool& out) {
    if (json.is_boolean()) out = json.get<bool>();
    else fault("true or false", json);
  }
  void read(const Json& json, int& out) {
    if (json.is_number_integer() && json.get<double>() >= -2e9 && json.get<double>() <= 2e9) out = json.get<int>();
    else fault("a whole number", json);
  }
  void read(const Json& json, double& out) {
    if (json.is_number()) out = json.get<double>();
    else fault("a finite number", json);
  }
  void read(const Json& json, std::string& out) {
    if (json.is_string()) out = json.get_ref<const std::string&>();
    else fault("a text", json);
  }
  void read(const Json& json, Id& out) {
    const auto id = json.is_string() ? parse_id(json.get_ref<const std::string&>()) : std::nullopt;
    if (id) out = *id;
    else fault("an id (UUID, RFC 9562)", json);
  }
  void read(const Json& json, Timestamp& out) {
    const auto time = json.is_string() ? parse_rfc3339(json.get_ref<const std::string&>()) : std::nullopt;
    if (time) out = *time;
    else fault("a time (RFC 3339)", json);
  }
  void read(const Json& json, BoardPoint& out) { pair(json, out.x_mm, out.y_mm); }
  void read(const Json& json, PhotoPoint& out) { pair(json, out.x_px, out.y_px); }
  void read(const Json& json, Offset& out) { pair(json, out.x_mm, out.y_mm); }
  template <std::size_t n>
  void read(const Json& json, std::array<double, n>& out) {
    if (!json.is_array() || json.size() != n) return fault(std::to_string(n) + " numbers", json);
    for (std::size_t i = 0; i < n; ++i) inside(i, [&] { read(json[i], out[i]); });
  }
  void read(const Json& json, std::map<std::string, std::string>& out) {
    if (!json.is_object()) return fault("an object of texts", json);
    for (auto it = json.begin(); it != json.end(); ++it) inside(it.key(), [&] { read(*it, out[it.key()]); });
  }
  void read(const Json& json, MarkTable& out) {
    if (!json.is_array()) return fault("a list", json);
    std::vector<MarkPtr> marks;
    marks.reserve(json.size());
    for (std::size_t i = 0; i < json.size(); ++i)
      inside(i, [&] {
        auto mark = std::make_shared<Mark>();
        read(json[i], *mark);
        marks.push_back(std::move(mark));
      });
    const std::size_t given = marks.size();
    MarkTable table(std::move(marks));
    if (table.size() != given) fault_text("each id once", "an id twice");
    out = std::move(table);
  }
  template <class T>
  void read(const Json& json, std::optional<T>& out) {
    if (json.is_null()) return;
    T value{};
    read(json, value);
    out = std::move(value);
  }
  template <class T>
  void read(const Json& json, std::vector<T>& out) {
    if (!json.is_array()) return fault("a list", json);
    out.resize(json.size());
    for (std::size_t i = 0; i < json.size(); ++i) inside(i, [&] { read(json[i], out[i]); });
  }
  template <class T>
    requires std::is_enum_v<T>
  void read(const Json& json, T& out) {
    if (json.is_string())
      for (const auto& [value, name] : Names<T>::table)
        if (name == json.get_ref<const std::string&>()) {
          out = value;
          return;
        }
    std::string list;
    for (const auto& [value, name] : Names<T>::table) list += (list.empty() ? "" : ", ") + std::string(name);
    fault("one of " + list, json);
  }
  // Everything else is an object with a member list.
  template <class T>
  void read(const Json& json, T& out) {
    if (!json.is_object()) return fault("an object", json);
    Members members{*this, json.get_ref<const Json::object_t&>(), 0, 0, {}};
    describe(members, out);
    members.keep_unknown(unknown_of(out));
  }

 private:
  static Unknown* unknown_of(JobFile& file) { return &file.job.unknown; }
  template <class T>
  static Unknown* unknown_of(T& value) {
    if constexpr (requires { value.unknown; }) return &value.unknown;
    else return nullptr;
  }

  // Looks members up; files of ours come in the order of the list, so the next one is tried first.
  struct Members {
    Reader& reader;
    const Json::object_t::Container& object;
    std::size_t next = 0;
    std::uint64_t taken = 0;  // of the first 64 members

    const Json* find(std::string_view name) {
      if (next < object.size() && object[next].first == name) return take(next);
      for (std::size_t i = 0; i < object.size(); ++i)
        if (object[i].first == name) return take(i);
      return nullptr;
    }
    const Json* take(std::size_t i) {
      next = i + 1;
      if (i < 64) taken |= std::uint64_t{1} << i;
      else late.push_back(i);
      return &object[i].second;
    }
    template <class T>
    void operator()(std::string_view name, T& field) {
      if (const Json* json = find(name)) reader.inside(name, [&] { reader.read(*json, field); });
    }
    template <class T>
    void required(std::string_view name, T& field) {
      if (const Json* json = find(name)) reader.inside(name, [&] { reader.read(*json, field); });
      else reader.fault_text("a member \"" + std::string(name) + "\"", "none");
    }
    void unit(const Quantity& quantity) {
      const Json* json = find("unit");
      if (json == nullptr) return;
      reader.inside("unit", [&] {
        if (!json->is_string() || json->get_ref<const std::string&>() != ucum_code(quantity))
          reader.fault("\"" + std::string(ucum_code(quantity)) + "\"", *json);
      });
    }
    void header(std::string_view format, int& minor) {
      const Json* given = find("format");
      if (given == nullptr || *given != std::string(format))
        reader.fault_text("\"format\": \"" + std::string(format) + "\" first", given == nullptr ? "none" : given->dump());
      const Json* version = find("version");
      if (version == nullptr || !version->is_string()) return reader.fault_text("\"version\": \"1.0\"", "none");
      int major = 0, read_minor = 0;
      const std::string& text = version->get_ref<const std::string&>();
      if (std::sscanf(text.c_str(), "%5d.%5d", &major, &read_minor) != 2 || major < 1 || read_minor < 0)
        return reader.inside("version", [&] { reader.fault("a version as in \"1.0\"", *version); });
      if (major > format_major)
        return reader.inside("version", [&] {
          reader.fault_text("version " + std::to_string(format_major) + " (this program reads no newer major version)", text);
        });
      minor = std::max(read_minor, format_minor);
    }
    void keep_unknown(Unknown* unknown) {
      if (unknown == nullptr) return;
      for (std::size_t i = 0; i < object.size(); ++i) {
        const bool known = i < 64 ? (taken >> i & 1U) != 0 : std::find(late.begin(), late.end(), i) != late.end();
        if (!known) (*unknown)[object[i].first] = object[i].second.dump();
      }
    }
    std::vector<std::size_t> late;
  };

  void pair(const Json& json, double& x, double& y) {
    if (!json.is_array() || json.size() != 2 || !json[0].is_number() || !json[1].is_number())
      return fault("two numbers [x, y]", json);
    x = json[0].get<double>();
    y = json[1].get<double>();
  }
  template <class Step, class Body>
  void inside(const Step& step, Body body) {
    if constexpr (std::is_convertible_v<Step, std::string_view>) path_.push_back({std::string_view(step), 0});
    else path_.push_back({{}, static_cast<std::size_t>(step)});
    body();
    path_.pop_back();
  }
  void fault(std::string expected, const Json& found) {
    std::string text = found.dump(-1, ' ', false, Json::error_handler_t::replace);
    if (text.size() > 60) text = text.substr(0, 57) + "...";
    fault_text(std::move(expected), std::move(text));
  }
  void fault_text(std::string expected, std::string found) {
    if (faults_.size() >= max_faults) return;
    std::string pointer;
    for (const auto& [name, index] : path_) {
      pointer += '/';
      if (name.empty()) pointer += std::to_string(index);
      for (const char c : name) pointer += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
    }
    faults_.push_back(Problem{file_, pointer.empty() ? "the top" : pointer, std::move(expected), std::move(found)});
  }

  std::string file_;
  std::vector<std::pair<std::string_view, std::size_t>> path_;
  std::vector<Problem> faults_;
};

}  // namespace boardlore::storage
