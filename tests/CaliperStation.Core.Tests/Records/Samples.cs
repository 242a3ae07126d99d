using System.Security.Cryptography;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Records;

internal static class Samples
{
    private static readonly DateTimeOffset _at = new(2026, 11, 25, 1, 19, 5, 123, TimeSpan.Zero);

    public static Core.Records.Record Record(long number = 1, string? previous = null, string chain = "0123456789abcdef") => new(
        Core.Records.Record.CurrentSchema, chain, number, previous ?? Core.Records.Record.NoPrevious, $"sitting-{number}", RecordKind.Sitting, null, "QG-017", "AB", "CD",
        new RecordStandard("Quayside parade", "3", new string('a', 64)),
        new JudgingSettings(DecisionRule.Guarded, 0.95, Length.FromNanometres(396_875), Length.FromNanometres(150_000), Length.FromNanometres(20_000)),
        new Dictionary<string, string> { ["rows"] = "3", ["cords"] = "yes" },
        _at, _at.AddMinutes(12),
        [
            new("rack-left", "rack", "left pocket", [new(Length.FromNanometres(3_175_000), LengthUnit.Millimetre, Length.FromNanometres(10_000), ReadingSource.Serial, _at.AddMinutes(1), "+3.175 mm\\x0D") { Hand = "AB" }]),
            new("rack-right", "rack", "left pocket", [new(Length.FromNanometres(-3_187_700), LengthUnit.Inch, Length.FromNanometres(12_700), ReadingSource.Typed, _at.AddMinutes(2), "-.1255\"") { Hand = "EF" }]),
        ],
        [new("rack-gap", RelationKind.Gap, ["rack-left"], Dimension.Length, 3_175_000, 2_778_125, null, 3_175_000, 151_000.25, 1.0 / 3, Verdict.Borderline)],
        [],
        [new(["rack"], _at.AddMinutes(1))],
        [new("rack-left", "carries", 3_175_000, 3_180_000.5, 0.5, true)],
        7,
        true)
    {
        Hands = ["AB", "EF"],
        Events = new(new(11, new string('b', 64)), new(19, new string('c', 64))),
        Confirmed = [new("coat-flat", _at.AddSeconds(20))],
        Withdrawn = [new("rack-left", true, _at.AddMinutes(1), [new(Length.FromNanometres(3_900_000), LengthUnit.Millimetre, Length.FromNanometres(10_000), ReadingSource.Serial, _at.AddSeconds(40), "+3.90 mm") { Hand = "AB" }])],
        TagCorrections = [new("QG-071", "read upside down", _at.AddMinutes(3))],
    };

    /// <summary>A chain of sealed records.</summary>
    public static List<FiledRecord> Chain(IRecordSigner signer, int count)
    {
        List<FiledRecord> filed = [];
        string previous = Core.Records.Record.NoPrevious;
        for (int number = 1; number <= count; number++)
        {
            SealedRecord seal = SealedRecord.Seal(Record(number, previous) with { Verified = false }, signer);
            filed.Add(new($"line {number}", seal));
            previous = seal.Hash;
        }

        return filed;
    }

    internal sealed class Signer : IRecordSigner, IDisposable
    {
        private readonly ECDsa _key = ECDsa.Create(ECCurve.NamedCurves.nistP256);

        public string PublicKey => Convert.ToBase64String(_key.ExportSubjectPublicKeyInfo());

        public string Id => RecordSignature.KeyId(PublicKey)!;

        public string Sign(ReadOnlySpan<byte> bytes) =>
            Convert.ToBase64String(_key.SignData(bytes, HashAlgorithmName.SHA256, DSASignatureFormat.IeeeP1363FixedFieldConcatenation));

        public void Dispose() => _key.Dispose();
    }
}
