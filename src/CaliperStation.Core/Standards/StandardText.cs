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
        Standard? standard = TomlReader.Read(toml, faults) is { } root ? Read(root, faults, sha256) : null;
        return standard is null || faults.Any ? StandardLoad.Refused(faults.InOrder()) : StandardLoad.Of(standard);
    }

    /// <summary>Reads with the usual answers, and then with every other answer that counts rows: what is at fault for one coat is told now, not at the bench.</summary>
    private static Standard? Read(TomlTable root, FaultList faults, string sha256)
    {
        StandardReader usual = new(root, faults, new Dictionary<string, string>());
        Standard? standard = usual.Read(sha256);
        foreach ((string question, IReadOnlyList<string> answers) in standard is null ? [] : usual.Counting)
        {
            foreach (string answer in answers)
            {
                new StandardReader(root, faults, new Dictionary<string, string> { [question] = answer }).Read(sha256);
            }
        }

        return standard is null || usual.Counting.Count == 0 ? standard
            : standard with { Counted = given => new StandardReader(root, new FaultList(), given).Read(sha256) ?? standard };
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
