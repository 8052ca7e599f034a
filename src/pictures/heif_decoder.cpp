// HEIC by libheif, where the build found it. libheif turns the picture itself (irot, imir), so its Exif
// orientation must not be applied again.
#include "pictures/decoders.h"
#include "pictures/heif_blocks.h"
#include "pictures/picture_limits.h"

#ifdef BOARDLORE_HAVE_HEIF
#include <libheif/heif.h>

#include <algorithm>
#include <memory>
#endif

namespace boardlore {

std::span<const std::byte> HeifBlock::tiff() const {
  const auto bytes = std::as_bytes(std::span(content.data(), content.size()));
  if (bytes.size() < 4) return {};
  std::size_t offset = 0;
  for (std::size_t i = 0; i < 4; ++i) offset = offset << 8 | std::to_integer<std::size_t>(bytes[i]);
  return offset < bytes.size() - 4 ? bytes.subspan(4 + offset) : std::span<const std::byte>{};
}

#ifdef BOARDLORE_HAVE_HEIF
namespace {

struct OpenPicture {
  std::unique_ptr<heif_context, void (*)(heif_context*)> context{heif_context_alloc(), heif_context_free};
  std::unique_ptr<heif_image_handle, void (*)(const heif_image_handle*)> handle{nullptr, heif_image_handle_release};
  StoredSize size;
};

Problem heif_problem(const std::string& name, const heif_error& error) {
  return {name, "HEIC boxes", "a whole HEIC picture", error.message ? error.message : "something else"};
}

Result<OpenPicture> open_heif(std::span<const std::byte> bytes, const std::string& name) {
  OpenPicture open;
  heif_context_set_maximum_image_size_limit(open.context.get(), kMaxPictureSidePx);
  heif_error error = heif_context_read_from_memory_without_copy(open.context.get(), bytes.data(), bytes.size(), nullptr);
  if (error.code != heif_error_Ok) return heif_problem(name, error);
  heif_image_handle* handle = nullptr;
  error = heif_context_get_primary_image_handle(open.context.get(), &handle);
  if (error.code != heif_error_Ok) return heif_problem(name, error);
  open.handle.reset(handle);
  const int width = heif_image_handle_get_width(handle), height = heif_image_handle_get_height(handle);
  const Result<Done> size = check_picture_size(width > 0 ? static_cast<unsigned>(width) : 0u,
                                               height > 0 ? static_cast<unsigned>(height) : 0u, name, "HEIC size box");
  if (!size) return size.problem();
  open.size = {width, height};
  return open;
}

}  // namespace

Result<StoredSize> heif_size(std::span<const std::byte> bytes, const std::string& name) {
  const Result<OpenPicture> open = open_heif(bytes, name);
  if (!open) return open.problem();
  return open->size;
}

Result<Raster> decode_heif(const DecodeJob& job) {
  const Result<OpenPicture> open = open_heif(job.bytes, job.name);
  if (!open) return open.problem();
  if (job.stop.stop_requested()) return stopped_problem(job.name);
  heif_image* decoded = nullptr;
  const heif_error error = heif_decode_image(open->handle.get(), &decoded, heif_colorspace_RGB,
                                             heif_chroma_interleaved_RGBA, nullptr);
  if (error.code != heif_error_Ok) return heif_problem(job.name, error);
  const std::unique_ptr<heif_image, void (*)(const heif_image*)> image(decoded, heif_image_release);
  if (job.stop.stop_requested()) return stopped_problem(job.name);
  const int width = heif_image_get_width(decoded, heif_channel_interleaved);
  const int height = heif_image_get_height(decoded, heif_channel_interleaved);
  int stride = 0;
  const std::uint8_t* plane = heif_image_get_plane_readonly(decoded, heif_channel_interleaved, &stride);
  if (plane == nullptr || width <= 0 || height <= 0)
    return Problem{job.name, "HEIC boxes", "a colour picture", "none"};
  const Result<Done> size = check_picture_size(static_cast<unsigned>(width), static_cast<unsigned>(height), job.name,
                                               "HEIC picture");
  if (!size) return size.problem();
  Raster raster{width, height, {}};
  const std::size_t row_bytes = 4 * static_cast<std::size_t>(width);
  raster.rgba.reserve(row_bytes * static_cast<std::size_t>(height));
  for (int row = 0; row < height; ++row) {
    const std::uint8_t* from = plane + static_cast<std::ptrdiff_t>(stride) * row;
    raster.rgba.insert(raster.rgba.end(), from, from + row_bytes);
  }
  if (job.progress) job.progress(1);
  return raster;
}

Result<std::vector<HeifBlock>> heif_blocks(std::span<const std::byte> bytes, const std::string& name) {
  const Result<OpenPicture> open = open_heif(bytes, name);
  if (!open) return open.problem();
  const heif_image_handle* handle = open->handle.get();
  std::vector<heif_item_id> ids(static_cast<std::size_t>(
      std::max(0, heif_image_handle_get_number_of_metadata_blocks(handle, nullptr))));
  heif_image_handle_get_list_of_metadata_block_IDs(handle, nullptr, ids.data(), static_cast<int>(ids.size()));
  std::vector<HeifBlock> blocks;
  for (heif_item_id id : ids) {
    const char* type = heif_image_handle_get_metadata_type(handle, id);
    HeifBlock block{type ? type : "", std::string(heif_image_handle_get_metadata_size(handle, id), '\0')};
    const heif_error error = heif_image_handle_get_metadata(handle, id, block.content.data());
    if (error.code != heif_error_Ok) return heif_problem(name, error);
    blocks.push_back(std::move(block));
  }
  return blocks;
}

#else

namespace {
Problem no_heif(const std::string& name) {
  return {name, "", "a JPEG or PNG photo", "a HEIC photo, which this build cannot read (libheif was not there)"};
}
}  // namespace

Result<StoredSize> heif_size(std::span<const std::byte>, const std::string& name) { return no_heif(name); }
Result<Raster> decode_heif(const DecodeJob& job) { return no_heif(job.name); }
Result<std::vector<HeifBlock>> heif_blocks(std::span<const std::byte>, const std::string& name) { return no_heif(name); }

#endif

}  // namespace boardlore
