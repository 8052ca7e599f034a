#include "storage/json_merge.h"

#include <algorithm>
#include <cstdio>
#include <map>
#include <set>

namespace boardlore::storage {
namespace {

std::string escaped(std::string_view name) {
  std::string text;
  for (const char c : name) text += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
  return text;
}

std::string unescaped(std::string_view step) {
  std::string text;
  for (std::size_t i = 0; i < step.size(); ++i)
    if (step[i] == '~' && i + 1 < step.size()) text += step[++i] == '0' ? '~' : '/';
    else text += step[i];
  return text;
}

std::string_view last_step(std::string_view where) { return where.substr(std::min(where.size(), where.rfind('/') + 1)); }

// Half of one and half of the other would fit nothing.
bool is_whole(std::string_view name) { return name == "registration" || name == "package" || name == "view"; }

// Lists whose order says nothing and whose elements have no name but themselves.
bool is_set(std::string_view name, const Json& list) {
  if (name == "symptoms") return std::all_of(list.begin(), list.end(), [](const Json& one) { return one.is_string(); });
  return name == "accept" || name == "refuse" || name == "linked" || name == "wanted" || name == "earlier_hand_backs";
}

// The member that tells the items of a list apart; empty: they have none, or one occurs twice.
std::string key_of(std::string_view name, const Json& list) {
  const std::string key = name == "checks" ? "text" : "id";
  std::set<std::string> seen;
  for (const Json& item : list)
    if (!item.is_object() || !item.contains(key) || !item.at(key).is_string() || !seen.insert(item.at(key).get<std::string>()).second)
      return {};
  return key;
}

std::string text_of(const Json& json) { return json.is_null() ? std::string{} : json.dump(-1, ' ', false, Json::error_handler_t::replace); }

// Members that only ever grow: the later one is right whoever wrote it.
bool only_grows(std::string_view where) {
  const std::string_view name = last_step(where);
  return where == "/version" || name == "changed_at" || name == "last_month" || name == "cured" || name == "jobs";
}

bool is_less(const Json& a, const Json& b, std::string_view where) {
  if (a.is_null() || b.is_null()) return a.is_null() && !b.is_null();
  if (where == "/version" && a.is_string() && b.is_string()) {
    int major_a = 0, minor_a = 0, major_b = 0, minor_b = 0;
    std::sscanf(a.get_ref<const std::string&>().c_str(), "%5d.%5d", &major_a, &minor_a);
    std::sscanf(b.get_ref<const std::string&>().c_str(), "%5d.%5d", &major_b, &minor_b);
    return std::pair(major_a, minor_a) < std::pair(major_b, minor_b);
  }
  if (a.is_number() && b.is_number()) return a.get<double>() < b.get<double>();
  return text_of(a) < text_of(b);
}

Json clash(const Json& ours, const Json& theirs, const std::string& where, std::vector<Clash>& clashes) {
  std::string one = text_of(ours), other = text_of(theirs);
  if (other < one) std::swap(one, other);
  clashes.push_back(Clash{where, one, other});
  return text_of(ours) == (one.empty() ? other : one) ? ours : theirs;
}

Json merge_objects(const Json& base, const Json& ours, const Json& theirs, const std::string& where, std::vector<Clash>& clashes) {
  std::set<std::string> names;
  for (const Json* side : {&base, &ours, &theirs})
    if (side->is_object())
      for (const auto& [name, value] : side->items()) names.insert(name);
  const auto member = [](const Json& object, const std::string& name) {
    return object.is_object() && object.contains(name) ? object.at(name) : Json{};
  };
  Json merged = Json::object();
  for (const std::string& name : names) {
    Json value = merge_values(member(base, name), member(ours, name), member(theirs, name), where + "/" + escaped(name), clashes);
    if (!value.is_null()) merged[name] = std::move(value);
  }
  return merged.empty() ? Json{} : merged;
}

// Names in the base's order, then the added ones sorted: the same whichever side is first.
template <class Names>
std::vector<std::string> in_order(const Names& base, const Names& ours, const Names& theirs) {
  std::vector<std::string> order = base;
  const std::set<std::string> known(base.begin(), base.end());
  std::set<std::string> added;
  for (const Names* side : {&ours, &theirs})
    for (const std::string& name : *side)
      if (!known.contains(name)) added.insert(name);
  order.insert(order.end(), added.begin(), added.end());
  return order;
}

Json merge_keyed(const Json& base, const Json& ours, const Json& theirs, const std::string& key, const std::string& where,
                 std::vector<Clash>& clashes) {
  using Items = std::map<std::string, const Json*>;
  const auto keys = [&](const Json& list, Items& items) {
    std::vector<std::string> names;
    for (const Json& item : list) {
      names.push_back(item.at(key).get<std::string>());
      items[names.back()] = &item;
    }
    return names;
  };
  Items base_items, our_items, their_items;
  const auto base_names = keys(base, base_items), our_names = keys(ours, our_items), their_names = keys(theirs, their_items);
  static const Json none;
  const auto find = [](const Items& items, const std::string& name) -> const Json& {
    const auto there = items.find(name);
    return there == items.end() ? none : *there->second;
  };
  Json merged = Json::array();
  for (const std::string& name : in_order(base_names, our_names, their_names)) {
    const Json &before = find(base_items, name), &our = find(our_items, name), &their = find(their_items, name);
    const std::string place = where + "/" + escaped(name);
    const bool removed = !before.is_null() && (our.is_null() || their.is_null()) && our != their && our != before && their != before;
    Json value = removed ? clash(our, their, place, clashes) : merge_values(before, our, their, place, clashes);
    if (!value.is_null()) merged.push_back(std::move(value));
  }
  return merged.empty() ? Json{} : merged;
}

Json merge_sets(const Json& base, const Json& ours, const Json& theirs) {
  std::map<std::string, Json> values;
  const auto texts = [&](const Json& list) {
    std::vector<std::string> names;
    for (const Json& element : list) {
      names.push_back(text_of(element));
      values[names.back()] = element;
    }
    return names;
  };
  const auto before = texts(base), our = texts(ours), their = texts(theirs);
  const auto holds = [](const std::vector<std::string>& list, const std::string& name) {
    return std::find(list.begin(), list.end(), name) != list.end();
  };
  Json merged = Json::array();
  for (const std::string& name : in_order(before, our, their))
    if (!holds(before, name) || (holds(our, name) && holds(their, name))) merged.push_back(values[name]);
  return merged.empty() ? Json{} : merged;
}

}  // namespace

Json merge_values(const Json& base, const Json& ours, const Json& theirs, const std::string& where, std::vector<Clash>& clashes) {
  if (ours == theirs || theirs == base) return ours;
  if (ours == base) return theirs;
  if (only_grows(where)) return is_less(ours, theirs, where) ? theirs : ours;
  const std::string_view name = last_step(where);
  const auto all = [&](auto holds) { return holds(base) && holds(ours) && holds(theirs); };
  if (!is_whole(name) && all([](const Json& json) { return json.is_null() || json.is_object(); }) &&
      (where.empty() ? !ours.is_null() && !theirs.is_null() : true))
    return merge_objects(base, ours, theirs, where, clashes);
  if (all([](const Json& json) { return json.is_null() || json.is_array(); })) {
    if (all([&](const Json& json) { return is_set(name, json); })) return merge_sets(base, ours, theirs);
    const std::string key = key_of(name, ours.is_null() ? theirs : ours);
    if (!key.empty() && all([&](const Json& json) { return json.is_null() || key_of(name, json) == key; }))
      return merge_keyed(base, ours, theirs, key, where, clashes);
  }
  return clash(ours, theirs, where, clashes);
}

bool put_member(Json& document, std::string_view member, const std::string& text) {
  const Json value = text.empty() ? Json{} : Json::parse(text, nullptr, false);
  if (value.is_discarded()) return false;
  if (member.empty()) {
    document = value;
    return true;
  }
  Json* at = &document;
  std::string_view list_name;
  while (!member.empty()) {
    member.remove_prefix(1);
    const std::string_view raw = member.substr(0, member.find('/'));
    member.remove_prefix(raw.size());
    const std::string step = unescaped(raw);
    const bool last = member.empty();
    if (at->is_array()) {
      const std::string key = key_of(list_name, *at);
      const auto item = std::find_if(at->begin(), at->end(), [&](const Json& one) { return !key.empty() && one.at(key) == step; });
      if (!last && item == at->end()) return false;
      if (!last) {
        at = &*item;
      } else if (value.is_null()) {
        if (item != at->end()) at->erase(item);
      } else if (item != at->end()) {
        *item = value;
      } else {
        at->push_back(value);
      }
      continue;
    }
    if (at->is_null()) *at = Json::object();
    if (!at->is_object()) return false;
    list_name = raw;
    if (!last) {
      // A list that is gone comes back with its item; an object likewise.
      const bool item_next = !at->contains(step) && member.find('/', 1) == std::string_view::npos && value.is_object() && value.contains("id");
      at = &(item_next ? (*at)[step] = Json::array() : (*at)[step]);
    } else if (value.is_null()) {
      at->erase(step);
    } else {
      (*at)[step] = value;
    }
  }
  return true;
}

}  // namespace boardlore::storage
