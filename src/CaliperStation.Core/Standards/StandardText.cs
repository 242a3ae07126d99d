using System.Security.Cryptography;
using System.Text;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Reads a placement standard from its TOML text. Whatever the text holds, the answer is a standard or the list of all its faults; nothing is thrown.</summary>
public static class StandardText
{
    /// <summary>Reads the bytes of a file: UTF-8, with or without a byte order mark.</summary>
    public static StandardLoad Load(ReadOnlySpan<byte> utf8)
    {
        string sha256 = Convert.ToHexStringLower(SHA256.HashData(utf8));
        ReadOnlySpan<byte> body = utf8.StartsWith(Encoding.UTF8.Preamble) ? utf8[Encoding.UTF8.Preamble.Length..] : utf8;
        if (body.Length > StandardFormat.MaxBytes)
        {
            return StandardLoad.Refused([new TextFault(1, 1, $"the file has {body.Length} bytes", $"at most {StandardFormat.MaxBytes}")]);
        }

        return FirstBadByte(body) is { } place
            ? StandardLoad.Refused([new TextFault(place.Line, place.Column, "this is not UTF-8 text", "the file saved as UTF-8")])
            : Load(Encoding.UTF8.GetString(body), sha256);
    }

    /// <summary>Reads a text; the hash is that of its UTF-8 bytes.</summary>
    public static StandardLoad Load(string toml)
    {
        if (toml.Length > StandardFormat.MaxBytes)
        {
            return StandardLoad.Refused([new TextFault(1, 1, $"the text has {toml.Length} characters", $"at most {StandardFormat.MaxBytes}")]);
        }

        return Load(toml.StartsWith('\uFEFF') ? toml[1..] : toml, Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(toml))));
    }

    private static StandardLoad Load(string toml, string sha256)
    {
        FaultList faults = new();
        Standard? standard = TomlReader.Read(toml, faults) is { } root ? new StandardReader(root, faults).Read(sha256) : null;
        return standard is null || faults.Any ? StandardLoad.Refused(faults.InOrder()) : StandardLoad.Of(standard);
    }

    private static TextPlace? FirstBadByte(ReadOnlySpan<byte> body)
    {
        TextPlace place = new(1, 1);
        while (!body.IsEmpty)
        {
            if (Rune.DecodeFromUtf8(body, out Rune rune, out int used) != System.Buffers.OperationStatus.Done)
            {
                return place;
            }

            place = rune.Value == '\n' ? new TextPlace(place.Line + 1, 1) : place with { Column = place.Column + 1 };
            body = body[used..];
        }

        return null;
    }
}
