using System.Buffers;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace CaliperStation.Cli;

/// <summary>One JSON object on one line.</summary>
internal static class JsonText
{
    // For terminals and pipes, not for web pages: a plus stays a plus. Control characters are escaped all the same.
    private static readonly JsonWriterOptions _options = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>Writes an object's members.</summary>
    internal static string Object(Action<Utf8JsonWriter> members)
    {
        ArrayBufferWriter<byte> buffer = new();
        using (Utf8JsonWriter writer = new(buffer, _options))
        {
            writer.WriteStartObject();
            members(writer);
            writer.WriteEndObject();
        }

        return Encoding.UTF8.GetString(buffer.WrittenSpan);
    }
}
