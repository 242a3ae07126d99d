using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using CaliperStation.Core.Readings;

namespace CaliperStation.Core.Records;

/// <summary>Where a station's store ended, signed by it: kept outside the store it is a witness of what the store must hold from then on.</summary>
/// <param name="Key">The id of the key that signed it.</param>
/// <param name="Chain">The station's chain of records.</param>
/// <param name="Record">The number of the last record in it; 0 for none.</param>
/// <param name="RecordHash">That record's hash; 64 zeros for none.</param>
/// <param name="At">When, UTC, to the millisecond.</param>
/// <param name="Event">The number of the journal's last event.</param>
/// <param name="EventHash">That event's hash: it covers every event before.</param>
/// <param name="Signature">ECDSA over P-256 and SHA-256 of the text before it, base64.</param>
public sealed partial record ChainHead(string Key, string Chain, long Record, string RecordHash, DateTimeOffset At, long Event, string EventHash, string Signature)
{
    /// <summary>A head, signed.</summary>
    public static ChainHead Sign(string chain, long record, string recordHash, DateTimeOffset at, long lastEvent, string eventHash, IRecordSigner signer)
    {
        ChainHead bare = new(signer.Id, chain, record, recordHash, DateTimeOffset.FromUnixTimeMilliseconds(at.ToUnixTimeMilliseconds()), lastEvent, eventHash, "");
        return bare with { Signature = signer.Sign(Encoding.ASCII.GetBytes(bare.Signed)) };
    }

    /// <summary>The head as one line of text.</summary>
    public string Text => $"{Signed} {Signature}";

    /// <summary>The head that a text says; null when it says none.</summary>
    public static ChainHead? Read(string text)
    {
        Match line = Line().Match(text.Trim());
        try
        {
            return line.Success
                ? new(
                    line.Groups["key"].Value, line.Groups["chain"].Value, Number("record"), line.Groups["recordHash"].Value,
                    FileWords.InstantOf(line.Groups["at"].Value), Number("event"), line.Groups["eventHash"].Value, line.Groups["signature"].Value)
                : null;
        }
        catch (FormatException)
        {
            return null;   // no such day or hour
        }

        long Number(string name) => long.Parse(line.Groups[name].Value, CultureInfo.InvariantCulture);
    }

    /// <summary>True when one of these keys signed it.</summary>
    /// <param name="keys">Public keys, base64.</param>
    public bool IsSignedBy(IEnumerable<string> keys) => keys.Any(key => RecordSignature.KeyId(key) == Key && RecordSignature.Verify(key, Encoding.ASCII.GetBytes(Signed), Signature));

    private string Signed => string.Create(CultureInfo.InvariantCulture, $"head-1 {Key} {Chain} {Record} {RecordHash} {FileWords.Instant(At)} {Event} {EventHash}");

    [GeneratedRegex(@"\Ahead-1 (?<key>[0-9a-f]{16}) (?<chain>[0-9a-f]{16}) (?<record>0|[1-9][0-9]{0,12}) (?<recordHash>[0-9a-f]{64}) (?<at>[0-9TZ:.-]{24}) (?<event>0|[1-9][0-9]{0,17}) (?<eventHash>[0-9a-f]{64}) (?<signature>[A-Za-z0-9+/=]{88})\z")]
    private static partial Regex Line();
}
