using System.Diagnostics.CodeAnalysis;
using System.Text;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Records;

/// <summary>A record with its seal: hash, public key and signature over its bytes.</summary>
/// <remarks>
/// As text: <c>{"hash":"…","publicKey":"…","record":{…},"signature":"…"}</c> on one line, canonical throughout. It carries the bytes as
/// they came, so a record that was changed can still be looked at and told.
/// </remarks>
public sealed class SealedRecord
{
    private SealedRecord(byte[] bytes, Record? record, string? fault, string hash, string publicKey, string signature) =>
        (Bytes, Record, Fault, Hash, PublicKey, Signature) = (bytes, record, fault, hash, publicKey, signature);

    private bool? _isWhole;    // looked at once
    private bool? _isSigned;

    /// <summary>The record's bytes.</summary>
    public ReadOnlyMemory<byte> Bytes { get; }

    /// <summary>The record; null when the bytes are none.</summary>
    public Record? Record { get; }

    /// <summary>Why the bytes are no record; null when they are.</summary>
    public string? Fault { get; }

    /// <summary>SHA-256 as the seal says it, lower-case hexadecimal.</summary>
    public string Hash { get; }

    /// <summary>SubjectPublicKeyInfo, base64.</summary>
    public string PublicKey { get; }

    /// <summary>r and s, base64.</summary>
    public string Signature { get; }

    /// <summary>True when the bytes are a record and give the hash.</summary>
    [MemberNotNullWhen(true, nameof(Record))]
    public bool IsWhole => Record is not null && (_isWhole ??= RecordSignature.Hash(Bytes.Span) == Hash);

    /// <summary>True when the signature is that key's over these bytes.</summary>
    public bool IsSigned => _isSigned ??= RecordSignature.Verify(PublicKey, Bytes.Span, Signature);

    /// <summary>True when it is whole and bears its own signature by one of these keys.</summary>
    /// <param name="knownKeys">Public keys, base64.</param>
    [MemberNotNullWhen(true, nameof(Record))]
    public bool Counts(IReadOnlySet<string> knownKeys) => IsWhole && IsSigned && knownKeys.Contains(PublicKey);

    /// <summary>Seals a record.</summary>
    public static SealedRecord Seal(Record record, IRecordSigner signer)
    {
        byte[] bytes = RecordBytes.Write(record);
        return new(bytes, record, null, RecordSignature.Hash(bytes), signer.PublicKey, signer.Sign(bytes));
    }

    /// <summary>The text of the sealed record, one line.</summary>
    public string ToText() => Encoding.UTF8.GetString(ToBytes());

    /// <summary>Reads a sealed record's text; null when it is not of the form above. The record within may still be faulty or changed.</summary>
    public static SealedRecord? Read(string text)
    {
        return JsonText.Read(text, root =>
        {
            byte[] bytes = Encoding.UTF8.GetBytes(root.GetProperty("record").GetRawText());
            RecordParse parsed = RecordParse.Of(bytes);
            SealedRecord read = new(bytes, parsed.Record, parsed.Fault, JsonText.TextOf(root, "hash"), JsonText.TextOf(root, "publicKey"), JsonText.TextOf(root, "signature"));
            return read.ToText() == text ? read : null;
        }, maxDepth: 20);
    }

    private byte[] ToBytes()
    {
        CanonicalJson json = new();
        return json.Object(() =>
        {
            json.Name("hash").Text(Hash);
            json.Name("publicKey").Text(PublicKey);
            json.Name("record").Raw(Bytes.Span);
            json.Name("signature").Text(Signature);
        }).ToBytes();
    }
}
