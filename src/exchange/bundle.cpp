#include "exchange/bundle.h"

#include <unistd.h>
#include <zip.h>

#include <algorithm>
#include <cctype>
#include <memory>
#include <set>

#include "pictures/scrub.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/safe_name.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;

const char* const layer_entry = "layer.json";

struct Discard {
  void operator()(zip_t* archive) const { zip_discard(archive); }
};
using Archive = std::unique_ptr<zip_t, Discard>;

struct CloseEntry {
  void operator()(zip_file_t* file) const { zip_fclose(file); }
};

Problem zip_problem(const std::string& name, const std::string& expected, zip_error_t* error) {
  return {name, "", expected, zip_error_strerror(error)};
}

Problem at_entry(const std::string& name, const std::string& entry, std::string expected, std::string found) {
  return {name, "entry \"" + entry + "\"", std::move(expected), std::move(found)};
}

// "TOP.jpg" and "top.jpg" are one file on a shop's share.
std::string folded(std::string name) {
  for (char& c : name) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return name;
}

bool is_photo_name(const std::string& name) {
  if (!is_safe_relative_path(name) || name.find('/') != std::string::npos || name.front() == '.') return false;
  const std::string low = folded(name);
  return low.ends_with(".jpg") || low.ends_with(".jpeg") || low.ends_with(".png");
}

bool is_link(zip_t* archive, zip_uint64_t index) {
  zip_uint8_t system = 0;
  zip_uint32_t attributes = 0;
  if (zip_file_get_external_attributes(archive, index, 0, &system, &attributes) != 0) return false;
  const zip_uint32_t kind = attributes >> 16U & 0170000U;  // st_mode, where a Unix system wrote it
  return system == ZIP_OPSYS_UNIX && kind != 0 && kind != 0100000U;
}

// Not trusted: what the directory says is checked against what comes out.
Result<Done> check_entry(zip_t* archive, const zip_stat_t& about, const std::string& name, const std::string& entry) {
  if (entry != layer_entry && !is_photo_name(entry))
    return at_entry(name, entry, "layer.json or a photo's plain name (.jpg, .png), no folder", "another name");
  if (is_link(archive, about.index)) return at_entry(name, entry, "a file", "a link or something else that is none");
  if ((about.valid & ZIP_STAT_ENCRYPTION_METHOD) != 0 && about.encryption_method != ZIP_EM_NONE)
    return at_entry(name, entry, "no password", "an encrypted file");
  if ((about.valid & ZIP_STAT_COMP_METHOD) != 0 && about.comp_method != ZIP_CM_STORE && about.comp_method != ZIP_CM_DEFLATE)
    return at_entry(name, entry, "stored or deflated", "method " + std::to_string(about.comp_method));
  if ((about.valid & ZIP_STAT_SIZE) == 0 || (about.valid & ZIP_STAT_COMP_SIZE) == 0) return at_entry(name, entry, "a stated size", "none");
  if (about.size > max_bundle_unpacked_bytes)
    return at_entry(name, entry, "at most " + spoken_size(max_bundle_unpacked_bytes), spoken_size(about.size));
  if (about.size > bundle_ratio_counts_from_bytes && about.size / std::max<std::uint64_t>(about.comp_size, 1) > max_bundle_ratio)
    return at_entry(name, entry, "to unpack to at most " + std::to_string(max_bundle_ratio) + " times its size", "a bomb: " + spoken_size(about.comp_size) + " that become " + spoken_size(about.size));
  return Done{};
}

// In pieces, so that memory is asked for as bytes come and never because a header promises them.
Result<std::string> unpacked(zip_t* archive, const zip_stat_t& about, const std::string& name, const std::string& entry) {
  const std::unique_ptr<zip_file_t, CloseEntry> file(zip_fopen_index(archive, about.index, 0));
  if (!file) return at_entry(name, entry, "a file that can be unpacked", zip_error_strerror(zip_get_error(archive)));
  std::string bytes, piece(1U << 16U, '\0');
  for (;;) {
    const zip_int64_t n = zip_fread(file.get(), piece.data(), piece.size());
    if (n < 0) return at_entry(name, entry, "a file that unpacks with its checksum", zip_error_strerror(zip_file_get_error(file.get())));
    if (n == 0) break;
    bytes.append(piece, 0, static_cast<std::size_t>(n));
    if (bytes.size() > about.size) return at_entry(name, entry, "the size it states, " + spoken_size(about.size), "more");
  }
  if (bytes.size() != about.size) return at_entry(name, entry, "the size it states, " + spoken_size(about.size), spoken_size(bytes.size()));
  return bytes;
}

Result<std::map<std::string, std::string>> entries_of(zip_t* archive, const std::string& name) {
  const zip_int64_t count = zip_get_num_entries(archive, 0);
  if (count < 0 || static_cast<std::uint64_t>(count) > max_bundle_entries)
    return Problem{name, "", "at most " + std::to_string(max_bundle_entries) + " files", std::to_string(count)};
  std::map<std::string, std::string> entries;
  std::set<std::string> seen;
  std::uint64_t total = 0;
  for (zip_int64_t i = 0; i < count; ++i) {
    zip_stat_t about;
    zip_stat_init(&about);
    if (zip_stat_index(archive, static_cast<zip_uint64_t>(i), ZIP_FL_ENC_RAW, &about) != 0 || about.name == nullptr)
      return zip_problem(name, "a directory that can be read", zip_get_error(archive));
    const std::string entry = about.name;
    if (Result<Done> checked = check_entry(archive, about, name, entry); !checked) return checked.problem();
    if (!seen.insert(folded(entry)).second) return at_entry(name, entry, "each name once", "it twice");
    total += about.size;
    if (total > max_bundle_unpacked_bytes) return Problem{name, "", "at most " + spoken_size(max_bundle_unpacked_bytes) + " in all", "more"};
    Result<std::string> bytes = unpacked(archive, about, name, entry);
    if (!bytes) return bytes.problem();
    entries[entry] = *std::move(bytes);
  }
  return entries;
}

Result<Done> add_entry(zip_t* archive, const std::string& name, const std::string& bytes, bool deflate) {
  zip_source_t* source = zip_source_buffer(archive, bytes.data(), bytes.size(), 0);
  if (source == nullptr) return zip_problem(name, "memory for an archive", zip_get_error(archive));
  const zip_int64_t index = zip_file_add(archive, name.c_str(), source, ZIP_FL_ENC_UTF_8);
  if (index < 0) {
    zip_source_free(source);
    return zip_problem(name, "a file that can be added", zip_get_error(archive));
  }
  const auto at = static_cast<zip_uint64_t>(index);
  // 1980-01-01, the first day ZIP knows; every system's files look alike.
  if (zip_set_file_compression(archive, at, deflate ? ZIP_CM_DEFLATE : ZIP_CM_STORE, deflate ? 9 : 0) != 0 ||
      zip_file_set_dostime(archive, at, 0, 33, 0) != 0 ||
      zip_file_set_external_attributes(archive, at, 0, ZIP_OPSYS_UNIX, 0100644U << 16U) != 0)
    return zip_problem(name, "a file that can be added", zip_get_error(archive));
  return Done{};
}

}  // namespace

Result<std::string> bundle_bytes(const SharedFiles& files) {
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* memory = zip_source_buffer_create(nullptr, 0, 0, &error);
  if (memory == nullptr) return zip_problem("", "memory for an archive", &error);
  zip_source_keep(memory);  // outlives the archive, to be read
  const std::unique_ptr<zip_source_t, void (*)(zip_source_t*)> kept(memory, zip_source_free);
  Archive archive(zip_open_from_source(memory, ZIP_TRUNCATE, &error));
  if (!archive) {
    zip_source_free(memory);
    return zip_problem("", "memory for an archive", &error);
  }
  if (Result<Done> added = add_entry(archive.get(), layer_entry, files.layer_json, true); !added) return added.problem();
  for (const auto& [name, bytes] : files.photos)
    if (Result<Done> added = add_entry(archive.get(), name, bytes, false); !added) return added.problem();
  if (zip_close(archive.get()) != 0) return zip_problem("", "an archive that can be made", zip_get_error(archive.get()));
  static_cast<void>(archive.release());  // closed is freed
  zip_stat_t about;
  zip_stat_init(&about);
  if (zip_source_stat(memory, &about) != 0 || zip_source_open(memory) != 0) return Problem{"", "", "an archive in memory", "none", Outcome::system_failed};
  std::string bytes(static_cast<std::size_t>(about.size), '\0');
  const zip_int64_t n = zip_source_read(memory, bytes.data(), bytes.size());
  zip_source_close(memory);
  if (n != static_cast<zip_int64_t>(bytes.size())) return Problem{"", "", "an archive in memory", "half of it", Outcome::system_failed};
  return bytes;
}

Result<SharedFiles> export_bundle(const Folder& folder, const fs::path& out, bool keep_names) {
  Result<SharedFiles> files = shared_files(folder, keep_names);
  if (!files) return files;
  const Result<std::string> bytes = bundle_bytes(*files);
  if (!bytes) return bytes.problem();
  if (bytes->size() > max_bundle_bytes) return Problem{out.string(), "", "at most " + spoken_size(max_bundle_bytes), spoken_size(bytes->size())};
  std::error_code ignored;
  if (out.has_parent_path()) fs::create_directories(out.parent_path(), ignored);
  if (Result<Done> written = write_file_atomically(out, *bytes); !written) return written.problem();
  return files;
}

Result<SharedFiles> read_bundle(std::string_view bytes, const std::string& name) {
  if (bytes.size() > max_bundle_bytes) return Problem{name, "", "at most " + spoken_size(max_bundle_bytes), spoken_size(bytes.size())};
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
  if (source == nullptr) return zip_problem(name, "memory for an archive", &error);
  const Archive archive(zip_open_from_source(source, ZIP_RDONLY | ZIP_CHECKCONS, &error));
  if (!archive) {
    zip_source_free(source);
    return zip_problem(name, "a bundle (a ZIP archive)", &error);
  }
  Result<std::map<std::string, std::string>> entries = entries_of(archive.get(), name);
  if (!entries) return entries.problem();
  const auto found = entries->find(layer_entry);
  if (found == entries->end()) return Problem{name, "", "a layer.json in it", "none"};
  Result<Layer> layer = read_layer(found->second, name + ", layer.json");
  if (!layer) return layer.problem();
  entries->erase(found);

  SharedFiles files;
  for (Photo& photo : layer->photos) {
    if (!is_photo_name(photo.file)) return Problem{name + ", layer.json", "/photos", "a photo's plain name", "\"" + photo.file + "\""};
    const auto entry = entries->find(photo.file);
    if (entry == entries->end()) {
      if (files.photos.count(photo.file) == 0) continue;  // not given along: the board opens without it
      return Problem{name + ", layer.json", "/photos", "each photo's file once", "\"" + photo.file + "\" twice"};
    }
    if (!photo.sha256.empty() && sha256_hex(entry->second) != photo.sha256)
      return at_entry(name, photo.file, "the picture the layer names, by its SHA-256", "another one");
    Result<std::string> scrubbed = scrubbed_bytes(std::as_bytes(std::span(entry->second.data(), entry->second.size())), name + ", " + photo.file);
    if (!scrubbed) return scrubbed.problem();
    photo.sha256 = sha256_hex(*scrubbed);
    files.photos[photo.file] = *std::move(scrubbed);
    entries->erase(entry);
  }
  if (!entries->empty()) return at_entry(name, entries->begin()->first, "only photos that the layer names", "one that it does not");
  files.layer_json = write_layer(*layer);
  return files;
}

Result<SharedFiles> read_bundle_file(const fs::path& file) {
  const Result<std::string> bytes = read_file(file, max_bundle_bytes);
  if (!bytes) return bytes.problem();
  return read_bundle(*bytes, file.string());
}

Result<SharedFiles> unpack_bundle(const fs::path& file, const fs::path& dir) {
  const fs::path target = dir.has_filename() ? dir : dir.parent_path();
  std::error_code error;
  const fs::file_status there = fs::symlink_status(target, error);
  if (fs::exists(there) && !(fs::is_directory(there) && fs::is_empty(target, error)))
    return Problem{target.string(), "", "a new or empty folder", "something that is there already"};
  Result<SharedFiles> files = read_bundle_file(file);
  if (!files) return files;
  // Whole in a folder beside it first: the board appears in one rename or not at all.
  if (target.has_parent_path()) fs::create_directories(target.parent_path(), error);
  const fs::path staged = target.parent_path() / ("." + target.filename().string() + "." + std::to_string(::getpid()) + ".unpacking");
  const auto fail = [&](const Problem& problem) {
    std::error_code ignored;
    fs::remove_all(staged, ignored);
    return problem;
  };
  if (!fs::create_directory(staged, error) || error) return system_problem(staged, "a folder that can be made", error ? error.value() : EEXIST);
  for (const auto& [name, bytes] : files->photos)
    if (Result<Done> written = write_file_atomically(staged / name, bytes); !written) return fail(written.problem());
  if (Result<Done> written = write_file_atomically(staged / layer_entry, files->layer_json); !written) return fail(written.problem());
  // rename(2) replaces an empty folder and refuses any other.
  if (::rename(staged.c_str(), target.c_str()) != 0) return fail(system_problem(target, "a new or empty folder", errno));
  if (Result<Done> flushed = flush_folder(target.has_parent_path() ? target.parent_path() : fs::path(".")); !flushed) return flushed.problem();
  return files;
}

}  // namespace boardlore
