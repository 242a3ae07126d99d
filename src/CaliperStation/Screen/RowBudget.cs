
namespace CaliperStation.Screen;

/// <summary>What a block of rows needs: the least it can be shown in, and what it would like.</summary>
internal readonly record struct RowRequest(int Least, int Liked);

/// <summary>Shares a column's rows among blocks.</summary>
internal static class RowBudget
{
    /// <summary>
    /// Gives every request its minimum in priority order, the first most needed, then its preferred height while rows remain.
    /// The sum is never more than <paramref name="rows"/>; what nobody wants is not given out.
    /// </summary>
    public static int[] Share(int rows, params ReadOnlySpan<RowRequest> requests)
    {
        int[] given = new int[requests.Length];
        int left = Math.Max(0, rows);
        for (int index = 0; index < requests.Length; index++)
        {
            given[index] = Math.Clamp(requests[index].Least, 0, left);
            left -= given[index];
        }

        for (int index = 0; index < requests.Length; index++)
        {
            int more = Math.Clamp(requests[index].Liked - given[index], 0, left);
            given[index] += more;
            left -= more;
        }

        return given;
    }
}
