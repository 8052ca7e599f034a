// Law: whatever the bytes, reading them as a bundle gives checked files or a Problem that says what was expected; what
// came in goes out again as the same bytes, each name plain, each photo a picture without private metadata.
#include <cstdint>

#include "demand.h"
#include "exchange/bundle.h"
#include "pictures/scrub.h"
#include "storage/documents.h"

using namespace boardlore;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Result<SharedFiles> files = read_bundle(std::string_view(reinterpret_cast<const char*>(data), size), "fuzz");
  if (!files) {
    demand(!files.problem().expected.empty(), "a Problem says what was expected");
    return 0;
  }
  demand(bool(read_layer(files->layer_json, "layer")), "the layer can be read");
  for (const auto& [name, bytes] : files->photos) {
    demand(name.find('/') == std::string::npos && name.find("..") != 0, "a photo's name is plain");
    const auto left = private_metadata_of(std::as_bytes(std::span(bytes.data(), bytes.size())), name);
    demand(left && left->empty(), "a photo has nothing private left");
  }
  const Result<std::string> zip = bundle_bytes(*files);
  demand(bool(zip), "what came in can go out");
  const Result<SharedFiles> again = read_bundle(*zip, "again");
  demand(again && again->layer_json == files->layer_json && again->photos == files->photos, "there and back again: the same");
  return 0;
}
