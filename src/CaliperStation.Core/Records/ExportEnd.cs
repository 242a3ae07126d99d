using System.Text;

namespace CaliperStation.Core.Records;

/// <summary>The last line of an export: how many records it has and where each chain in it ends, so that a cut file is noticed.</summary>
/// <remarks><c>{"end":{"chains":[{"chain":"…","hash":"…","number":12}],"records":12}}</c>, canonical; the chains in the order they first occur.</remarks>
public sealed class ExportEnd
{
    private readonly List<string> _chains = [];
    private readonly Dictionary<string, (long Number, string Hash)> _last = [];
    private long _records;

    /// <summary>Counts a record.</summary>
    public void Add(Record record, string hash)
    {
        _records++;
        if (!_last.ContainsKey(record.Chain))
        {
            _chains.Add(record.Chain);
        }

        _last[record.Chain] = (record.Number, hash);
    }

    /// <summary>The line, without its line feed.</summary>
    public string ToText()
    {
        CanonicalJson json = new();
        json.Object(() => json.Name("end").Object(() =>
        {
            json.Name("chains").Array(_chains, chain => json.Object(() =>
            {
                json.Name("chain").Text(chain);
                json.Name("hash").Text(_last[chain].Hash);
                json.Name("number").Whole(_last[chain].Number);
            }));
            json.Name("records").Whole(_records);
        }));
        return Encoding.UTF8.GetString(json.ToBytes());
    }

    /// <summary>True for a line that is an export's last one, whatever it counts.</summary>
    public static bool IsEnd(string text) => text.StartsWith("{\"end\":", StringComparison.Ordinal);
}
